// Moves the load through the side view, its panel and the cursors of the charts. Without it nothing is missing but this.
(() => {
  const steps = JSON.parse(document.getElementById("steps").textContent || "[]");
  const box = document.querySelector(".stepper");
  if (!box || steps.length < 2) return;
  const slider = box.querySelector("input");
  const parts = ["line", "sling", "haul", "belay"].map((id) => [id, document.getElementById(id)]);
  const texts = document.querySelectorAll(".panel dd");
  const cursors = document.querySelectorAll(".cursor");
  const show = () => {
    const step = steps[Number(slider.value)];
    for (const [id, part] of parts) if (part) part.setAttribute("d", step[id]);
    texts.forEach((text, i) => { text.textContent = step.texts[i]; });
    cursors.forEach((cursor) => {
      const low = Number(cursor.dataset.low), high = Number(cursor.dataset.high);
      cursor.style.left = `${(100 * (step.out - low)) / (high - low)}%`;
      cursor.hidden = false;
    });
    slider.setAttribute("aria-valuetext", step.said);
  };
  box.hidden = false;
  slider.addEventListener("input", show);
  // The arrow keys work wherever the page is, as the load moves: left is towards the head.
  document.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: 1, ArrowRight: -1 }[event.key];
    if (!way || event.target === slider || event.altKey || event.ctrlKey || event.metaKey) return;
    slider.value = String(Number(slider.value) + way);
    show();
    event.preventDefault();
  });
})();
