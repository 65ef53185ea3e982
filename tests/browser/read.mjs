// Opens sheets in a headless Chromium as their reader does: on a phone, on a desk, in the dark, on paper.
//
//   node read.mjs [--look FOLDER] SHEET.html …
//
// Tells every finding on a line of its own and ends with 1 if there is one. With --look it also leaves screenshots and
// PDF files in FOLDER, to be looked at before a change to the look is accepted.

import { mkdir, readFile, writeFile } from "node:fs/promises";
import { basename, join, resolve } from "node:path";
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
// The size of what a thumb must hit is a rule of WCAG 2.2 that has to be asked for.
const AXE_OPTIONS = JSON.stringify({ resultTypes: ["violations"], rules: { "target-size": { enabled: true } } });
const SCREENS = [
  { name: "phone", width: 360, height: 740, colorScheme: "light" },
  { name: "phone-dark", width: 360, height: 740, colorScheme: "dark" },
  { name: "desk", width: 1280, height: 900, colorScheme: "light" },
  { name: "desk-dark", width: 1280, height: 900, colorScheme: "dark" },
];
const PAPERS = ["A4", "Letter"];
// A sheet is two pages of paper; one of more than six steps may take a page for each three.
const mostPages = (steps) => (steps <= 6 ? 2 : Math.ceil(steps / 3));
// A route of hundreds of steps is named so.
const isLong = (sheet) => basename(sheet).startsWith("long");

const arguments_ = process.argv.slice(2);
const look = arguments_[0] === "--look" ? arguments_.splice(0, 2)[1] : null;
const findings = [];

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
  ],
});
if (look) await mkdir(look, { recursive: true });
for (const sheet of arguments_) {
  for (const screen of isLong(sheet) ? SCREENS.slice(0, 1) : SCREENS) await onScreen(sheet, screen);
  await onPaper(sheet);
}
await browser.close();
findings.forEach((finding) => console.log(finding));
console.log(`${arguments_.length} sheets read, ${findings.length} findings`);
process.exitCode = findings.length ? 1 : 0;

async function onScreen(sheet, { name, width, height, colorScheme }) {
  const found = (text) => findings.push(`${basename(sheet)}, ${name}: ${text}`);
  const page = await opened(sheet, { viewport: { width, height }, colorScheme }, found);
  const [wide, room] = await page.evaluate(() => {
    const root = document.documentElement;
    return [root.scrollWidth, root.clientWidth];
  });
  if (wide > room) found(`${wide} px wide where ${room} px are`);
  // A long sheet is made of what short ones are made of; only its size is in question.
  if (!isLong(sheet)) {
    await accessible(page, found);
    await keyboard(page, found);
  }
  // The picture of a route of 500 steps would be taller than a picture can be.
  if (look && !isLong(sheet)) await page.screenshot({ path: picture(sheet, `${name}.png`), fullPage: true });
  await page.context().close();
}

async function onPaper(sheet) {
  for (const format of PAPERS) {
    const found = (text) => findings.push(`${basename(sheet)}, ${format}: ${text}`);
    const page = await opened(sheet, {}, found);
    const paper = await page.pdf({ format, preferCSSPageSize: false });
    // Chromium writes page objects uncompressed.
    const pages = paper.toString("latin1").match(/\/Type\s*\/Page\b(?!s)/g).length;
    const steps = await page.locator("section.step").count();
    if (pages > mostPages(steps)) found(`${pages} pages for ${steps} steps`);
    if (look) await writeFile(picture(sheet, `${format}.pdf`), paper);
    await page.context().close();
  }
}

/// A page of its own, which asks for nothing but its file and says nothing on its console.
async function opened(sheet, options, found) {
  const context = await browser.newContext({ ...options, bypassCSP: false });
  const page = await context.newPage();
  const address = pathToFileURL(resolve(sheet)).href;
  page.on("console", (message) => found(`console ${message.type()}: ${message.text()}`));
  page.on("pageerror", (fault) => found(`error: ${fault.message}`));
  page.on("request", (request) => request.url() !== address && found(`asks for ${request.url()}`));
  page.on("dialog", (dialog) => (found(`a script runs: ${dialog.message()}`), dialog.dismiss()));
  await page.goto(address);
  return page;
}

/// The rules of WCAG 2.2 AA and the checker's own best practice.
async function accessible(page, found) {
  // The page forbids itself scripts; the debugger's door is not the page's.
  const axe = await readFile(AXE, "utf8");
  const { violations } = await page.evaluate(`${axe}; axe.run(document, ${AXE_OPTIONS})`);
  for (const { id, help, nodes } of violations) {
    found(`${id}: ${help}: ${nodes.slice(0, 3).map((node) => node.html).join(" ")}`);
  }
}

/// Every box and blank can be reached by Tab, in the order of the page, and shows that it was.
async function keyboard(page, found) {
  const wanted = await page.locator("input").count();
  const reached = [];
  for (let press = 0; press < wanted + 200 && reached.length < wanted; press += 1) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => {
      const here = document.activeElement;
      if (here === document.body) return "end";
      const shown = getComputedStyle(here).outlineStyle !== "none";
      return here.matches("input") ? { index: [...document.querySelectorAll("input")].indexOf(here), shown } : null;
    });
    if (at === "end") break;
    if (at) reached.push(at);
  }
  if (reached.some(({ shown }) => !shown)) found("a box or blank does not show that it has the focus");
  const ordered = reached.every(({ index }, place) => index === place);
  if (reached.length < wanted || !ordered) found(`${reached.length} of ${wanted} boxes and blanks reached by Tab`);
}

function picture(sheet, end) {
  return join(look, `${basename(sheet, ".html")}-${end}`);
}
