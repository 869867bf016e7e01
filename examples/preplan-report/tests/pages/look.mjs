// Opens the pages of reports in a browser, at the widths of a phone, a tablet and a desk, and as sheets of paper.
//
//     node look.mjs CHROMIUM NODE_MODULES FOLDER…
//
// Each folder holds a report. Complaints are printed; without one it ends with 0.
import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import * as checks from "./checks.mjs";

const [chromiumPath, modules, ...folders] = process.argv.slice(2);
const { chromium } = await import(pathToFileURL(resolve(modules, "playwright-core/index.mjs")));
const axe = readFileSync(resolve(modules, "axe-core/axe.min.js"), "utf8");
const scratch = mkdtempSync(join(tmpdir(), "pages-"));
const browser = await chromium.launch({ executablePath: chromiumPath, args: ["--no-sandbox"] });
let complaints = 0;
let asked = 0;

const complain = (where, list) => {
  asked += 1;
  for (const text of list) {
    complaints += 1;
    console.error(`${where}: ${text}`);
  }
};

const open = async (url, options) => {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const said = [];
  page.on("console", (message) => said.push(`the console says: ${message.text()}`));
  page.on("pageerror", (error) => said.push(`an error: ${error.message}`));
  page.on("request", (request) => { if (!request.url().startsWith("file:")) said.push(`asks the network for ${request.url()}`); });
  await page.goto(url);
  return { context, page, said };
};

const onScreen = async (url, name) => {
  for (const [width, colorScheme] of [[390, "light"], [390, "dark"], [768, "light"], [1280, "light"]]) {
    const where = `${name} at ${width} ${colorScheme}`;
    const { context, page, said } = await open(url, { viewport: { width, height: 844 }, colorScheme });
    if (colorScheme === "light") {
      for (const check of ["overflow", "overlaps", "cut", "links", "unnumbered"]) complain(`${where}, ${check}`, await page.evaluate(checks[check]));
      complain(`${where}, size`, await page.evaluate(checks.small, 13));
    }
    if (width === 390) {
      await page.evaluate(axe);
      const { violations } = await page.evaluate(() => window.axe.run(document, { resultTypes: ["violations"] }));
      const grave = violations.filter((found) => ["serious", "critical"].includes(found.impact));
      complain(`${where}, axe`, grave.map((found) => `${found.id}: ${found.nodes[0].html.slice(0, 120)}`));
    }
    complain(where, said);
    await context.close();
  }
};

// The slider by keyboard: everything that follows the load changes, and back again.
const slider = async (url, name) => {
  const { context, page } = await open(url, { viewport: { width: 1280, height: 900 } });
  const state = () => page.evaluate(() => ({
    value: Number(document.querySelector("#step").value),
    line: document.querySelector("#line").getAttribute("d"),
    panel: document.querySelector(".panel").textContent,
    cursor: document.querySelector(".cursor").style.left,
    said: document.querySelector("#step").getAttribute("aria-valuetext"),
    last: Number(document.querySelector("#step").max),
    shown: document.querySelector(".stepper").checkVisibility(),
  }));
  const list = [];
  const differ = (a, b, what) => { for (const key of ["line", "panel", "cursor", "said"]) if (a[key] === b[key]) list.push(`${what}: ${key} doesn't move`); };
  await page.focus("#step");
  const first = await state();
  if (!first.shown) list.push("it isn't shown");
  await page.keyboard.press("ArrowLeft");
  const second = await state();
  if (second.value !== first.value + 1) list.push(`left is not towards the head: ${first.value}, ${second.value}`);
  differ(first, second, "on the slider");
  await page.evaluate(() => document.activeElement.blur());
  await page.keyboard.press("ArrowLeft");
  const third = await state();
  if (third.value !== second.value + 1) list.push("the arrow keys do nothing on the page");
  differ(second, third, "on the page");
  await page.focus("#step");
  await page.keyboard.press("End");
  await page.keyboard.press("ArrowLeft");
  const end = await state();
  if (end.value !== end.last) list.push(`it runs past its end: ${end.value} of ${end.last}`);
  await page.keyboard.press("Home");
  if ((await state()).value !== 0) list.push("Home doesn't lead to the start");
  complain(`${name}, slider`, list);
  await context.close();
};

// Without JavaScript nothing is missing but the slider.
const withoutScript = async (url, name) => {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, javaScriptEnabled: false });
  const plain = await context.newPage();
  await plain.goto(url);
  // Read from outside: the page itself runs nothing.
  const shown = await plain.locator(".stepper").isVisible();
  const text = (await plain.locator("body").innerText()).replace(/\s+/g, " ");
  await context.close();
  const { context: other, page } = await open(url, { viewport: { width: 1280, height: 900 } });
  await page.evaluate(() => { document.querySelector(".stepper").hidden = true; });
  const withScript = (await page.locator("body").innerText()).replace(/\s+/g, " ");
  await other.close();
  const list = [];
  if (shown) list.push("the slider is shown, but does nothing");
  if (text !== withScript) list.push("words differ");
  complain(`${name}, without JavaScript`, list);
};

// Paper: a head on every sheet, nothing over anything, nothing beyond the edge; the card on one sheet.
const onPaper = async (url, name, card) => {
  for (const [format, width] of [["A4", 718], ["Letter", 740]]) {
    const where = `${name} on ${format}`;
    const { context, page, said } = await open(url, { viewport: { width, height: 1000 }, colorScheme: "dark" });
    await page.emulateMedia({ media: "print" });
    for (const check of ["overflow", "overlaps", "cut"]) complain(`${where}, ${check}`, await page.evaluate(checks[check]));
    const ground = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    if (ground !== "rgb(255, 255, 255)") complain(where, [`prints on ${ground}`]);
    const title = await page.title();
    const pdf = join(scratch, "page.pdf");
    await page.pdf({ path: pdf, format, printBackground: true });
    const sheets = execFileSync("pdftotext", ["-layout", pdf, "-"], { encoding: "utf8" }).split("\f").slice(0, -1);
    const list = [];
    sheets.forEach((sheet, i) => {
      const plain = sheet.replace(/\s+/g, " ");
      for (const wanted of [title.slice(0, 30), "input", "version", "revision", "approved", `sheet ${i + 1} of ${sheets.length}`])
        if (!plain.includes(wanted)) list.push(`sheet ${i + 1} has no "${wanted}"`);
      if (plain.length < 250 && !plain.includes("rope in")) list.push(`sheet ${i + 1} is all but empty: ${plain}`);
    });
    // A card whose conditions don't all fit on it says so, and then takes a second sheet.
    const most = sheets.join(" ").replace(/\s+/g, " ").includes("more: see the report") ? 2 : 1;
    if (card && sheets.length > most) list.push(`the card takes ${sheets.length} sheets`);
    complain(where, list);
    complain(where, said);
    await context.close();
  }
};

// Faults on purpose: each must be seen, or the questions above ask nothing.
const seesFaults = async () => {
  const { context, page } = await open("about:blank", { viewport: { width: 390, height: 844 } });
  await page.setContent(`<title>t</title><p style="margin:0">one line of text</p><p style="margin:-15px 0 0">another over it</p>
    <div style="width:600px;height:9px"></div><a href="#nowhere">x</a><i id="twice"></i><i id="twice"></i>
    <span class="label" style="position:absolute;left:-20px">label</span><small style="font-size:7px">small</small>`);
  for (const [check, wanted] of [["overflow", 1], ["overlaps", 1], ["cut", 1], ["links", 2]]) {
    const found = await page.evaluate(checks[check]);
    if (found.length < wanted) complain("faults on purpose", [`${check} sees ${found.length} of ${wanted}`]);
  }
  if ((await page.evaluate(checks.small, 13)).length === 0) complain("faults on purpose", ["small letters are not seen"]);
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => window.axe.run(document));
  if (violations.length === 0) complain("faults on purpose", ["axe sees nothing"]);
  await context.close();
};

await seesFaults();
for (const folder of folders) {
  const name = folder.split("/").pop();
  const index = resolve(folder, "index.html");
  if (existsSync(index)) {
    await onScreen(pathToFileURL(index).href, `${name} index`);
    continue;
  }
  const [card, report] = ["card.html", "report.html"].map((file) => pathToFileURL(resolve(folder, file)).href);
  await onScreen(card, `${name} card`);
  await onScreen(report, `${name} report`);
  await slider(report, `${name} report`);
  await withoutScript(report, `${name} report`);
  await onPaper(card, `${name} card`, true);
  await onPaper(report, `${name} report`, false);
}
await browser.close();
rmSync(scratch, { recursive: true });
console.log(`${folders.length} reports looked at, ${asked} questions asked, ${complaints} complaints`);
process.exitCode = complaints > 0 ? 1 : 0;
