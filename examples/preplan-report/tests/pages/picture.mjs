// The README's pictures of the built-in site's card and side view, and whether they still show what the command writes.
//
//     node picture.mjs CHROMIUM NODE_MODULES REPORT PICTURES          makes them
//     node picture.mjs CHROMIUM NODE_MODULES REPORT PICTURES check    compares their words
//
// Letters are drawn a little differently on every machine, so the words that stood on the pages are kept beside the
// pictures and compared.
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [chromiumPath, modules, report, pictures, check] = process.argv.slice(2);
const { chromium } = await import(pathToFileURL(resolve(modules, "playwright-core/index.mjs")));
const browser = await chromium.launch({ executablePath: chromiumPath, args: ["--no-sandbox"] });
const page = await browser.newPage({ viewport: { width: 1000, height: 900 }, colorScheme: "light" });
const shown = [["card.html", ".card", "card.png"], ["report.html", "#side figure", "side.png"]];
const words = [];
for (const [file, what, picture] of shown) {
  await page.goto(pathToFileURL(resolve(report, file)).href);
  const element = page.locator(what).first();
  words.push(`${picture}\n${await element.innerText()}\n`);
  if (check !== "check") {
    mkdirSync(pictures, { recursive: true });
    await element.screenshot({ path: join(pictures, picture) });
  }
}
await browser.close();
const now = words.join("\n").replace(/[ \t]+/g, " ").replace(/\n+/g, "\n");
const kept = join(pictures, "words.txt");
if (check !== "check") {
  writeFileSync(kept, now);
} else if (readFileSync(kept, "utf8") !== now) {
  const old = readFileSync(kept, "utf8").split("\n");
  const changed = now.split("\n").filter((line) => !old.includes(line));
  console.error(`the README's pictures no longer show what the command writes: run tests/pages/run with "pictures"\n${changed.slice(0, 10).join("\n")}`);
  process.exitCode = 1;
}
