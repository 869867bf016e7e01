// What is asked of a page in the browser. Each returns a list of complaints, empty if all is well.

// Wider than its window.
export const overflow = () => {
  const wide = [];
  const limit = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > limit + 1) {
    for (const element of document.body.querySelectorAll("*")) {
      const box = element.getBoundingClientRect();
      if (box.right > limit + 1 && box.width > 0 && !element.closest(".wide"))
        wide.push(`${element.tagName}.${element.className} reaches ${Math.round(box.right)} of ${limit}: ${element.textContent.slice(0, 40)}`);
    }
    wide.push(`the page is ${document.documentElement.scrollWidth} wide, its window ${limit}`);
  }
  return wide.slice(0, 5);
};

// Text on text: the boxes of all lines of text, compared in pairs.
export const overlaps = () => {
  const boxes = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const range = document.createRange();
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement;
    if (!node.data.trim() || parent.closest("script, style, svg, [hidden], .wide")) continue;
    if (!parent.checkVisibility()) continue;
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (box.width < 2 || box.height < 2) continue;
      // A line's box is taller than its letters: a fifth above and below is air.
      const air = 0.2 * box.height;
      boxes.push({ left: box.left + 1, right: box.right - 1, top: box.top + air, bottom: box.bottom - air, text: node.data.trim().slice(0, 30), parent });
    }
  }
  boxes.sort((a, b) => a.top - b.top);
  const found = [];
  for (let i = 0; i < boxes.length; i += 1) {
    for (let k = i + 1; k < boxes.length && boxes[k].top < boxes[i].bottom; k += 1) {
      const [a, b] = [boxes[i], boxes[k]];
      if (a.left < b.right && b.left < a.right) found.push(`"${a.text}" over "${b.text}"`);
    }
  }
  return found.slice(0, 8);
};

// Text that is cut off by a box that hides what doesn't fit, or lies outside the page.
export const cut = () => {
  const found = [];
  for (const element of document.querySelectorAll(".label, .tick, .badge")) {
    const box = element.getBoundingClientRect();
    if (!element.checkVisibility() || box.width === 0) continue;
    if (box.left < -0.5 || box.right > document.documentElement.clientWidth + 0.5)
      found.push(`"${element.textContent}" is cut by the edge of the page`);
  }
  return found;
};

// Letters smaller than can be read at arm's length.
export const small = (least) => {
  const found = new Set();
  for (const element of document.body.querySelectorAll("*")) {
    const own = [...element.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
    if (!own || !element.checkVisibility() || element.closest("script, style")) continue;
    const size = parseFloat(getComputedStyle(element).fontSize);
    if (size < least) found.add(`${element.tagName}.${element.className} has ${size} px`);
  }
  return [...found];
};

// Links to places in the page that aren't there, and places that stand twice.
export const links = () => {
  const found = [];
  for (const link of document.querySelectorAll("a[href]")) {
    const to = link.getAttribute("href");
    if (/^[a-z]+:|^\//.test(to)) found.push(`a link leaves the page: ${to}`);
    else if (to.startsWith("#") && !document.getElementById(to.slice(1))) found.push(`a link leads nowhere: ${to}`);
  }
  const ids = [...document.querySelectorAll("[id]")].map((element) => element.id);
  for (const id of ids) if (ids.indexOf(id) !== ids.lastIndexOf(id)) found.push(`the id ${id} stands twice`);
  return found;
};

// Places of the set-up that the plan doesn't show: all but the feet of the frame have their number.
export const unnumbered = () => {
  const badges = new Set([...document.querySelectorAll(".plan .badge")].map((badge) => badge.textContent));
  return [...document.querySelectorAll(".set-up tbody tr")]
    .map((row) => [row.cells[0].textContent, row.cells[1].textContent])
    .filter(([number, name]) => !badges.has(number) && !name.startsWith("foot"))
    .map(([number, name]) => `the plan has no number ${number}, ${name}`);
};
