// One browser, one script: see browser.sh.
import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const work = process.argv[2];
const require = createRequire(join(work, "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const own = mkdtempSync(join(tmpdir(), "page-"));
const browser = await chromium.launchPersistentContext(own, {
  executablePath: process.env.CHROMIUM,
  headless: true,
  viewport: { width: 1100, height: 900 },
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
const said = [];
const open = async (file, options = {}) => {
  const page = await browser.newPage();
  if (options.viewport) await page.setViewportSize(options.viewport);
  // Scrolling at once: a place measured while the page still glides is no place.
  await page.emulateMedia({ reducedMotion: "reduce" });
  const url = "file://" + join(work, file);
  page.on("console", (m) => { if (m.type() === "error" || m.type() === "warning") said.push(file + ": " + m.text()); });
  page.on("pageerror", (e) => said.push(file + ": " + e.message));
  page.on("dialog", (d) => { said.push(file + ": a dialog"); d.dismiss(); });
  page.on("request", (r) => { if (r.url() !== url) said.push(file + " asked for " + r.url()); });
  await page.goto(url);
  return page;
};

try {
  for (const folder of ["metric", "us"]) {
    const page = await open(folder + "/report.html");
    const result = JSON.parse(readFileSync(join(work, folder, "result.json")));
    const us = result.units === "us";
    const points = result.route.points;
    const shut = result.cases.find((c) => c.name === "shut").points;
    const running = result.cases.reduce((a, b) => (b.flow_m3_per_s > a.flow_m3_per_s ? b : a)).points;
    const length = (m, d) => (us ? m / 0.3048 : m).toFixed(d) + (us ? " ft" : " m");
    const pressure = (pa) => (us ? (pa / 6894.757293168).toFixed(0) + " psi" : (pa / 1e5).toFixed(1) + " bar");
    const read = async () => Object.fromEntries(await page.$$eval("#read b", (all) => all.map((b) => [b.dataset.key, b.textContent])));
    const agrees = async (i) => {
      const shown = await read();
      assert.equal(shown.station, length(points[i].station_m, 0), "station at " + i);
      assert.ok(Math.abs(parseFloat(shown.height) - (us ? points[i].elevation_m / 0.3048 : points[i].elevation_m)) <= 0.5, "height at " + i);
      assert.equal(shown.static, pressure(shut[i].pressure_pa), "static at " + i);
      assert.equal(shown.operating, pressure(running[i].pressure_pa), "operating at " + i);
    };
    // By keyboard.
    await page.$eval("#along", (d) => { d.open = true; });
    await page.focus("#at");
    for (let i = 0; i < 7; i += 1) await page.keyboard.press("ArrowRight");
    await agrees(7);
    await page.keyboard.press("End");
    await agrees(points.length - 1);
    // By pointer, at three places along the picture.
    const frame = await page.evaluate(() => JSON.parse(document.getElementById("figures").textContent).sheets[0]);
    await page.$eval("figure[data-sheet]", (e) => e.scrollIntoView({ block: "center" }));
    const box = await page.$eval("figure[data-sheet] svg", (e) => { const b = e.getBoundingClientRect(); return { x: b.x, y: b.y, w: b.width, v: e.viewBox.baseVal.width }; });
    for (const share of [0.2, 0.5, 0.8]) {
      const wanted = frame.from + share * (frame.to - frame.from);
      const scale = box.w / box.v;
      await page.mouse.move(box.x + (frame.left + share * (frame.right - frame.left)) * scale, box.y + (frame.bottom - 2) * scale);
      const i = points.reduce((best, p, k) => (Math.abs(p.station_m - wanted) < Math.abs(points[best].station_m - wanted) ? k : best), 0);
      await agrees(i);
    }
    // Tables sort by figures, both ways.
    await page.$eval("#running", (d) => { d.open = true; });
    const first = async () => page.$eval("#running tbody tr td", (c) => c.textContent);
    const head = page.locator("#running th button", { hasText: "flow" }).first();
    await head.click();
    assert.equal(await first(), "shut");
    await head.click();
    assert.notEqual(await first(), "shut");
    // Every station, on asking.
    await page.$eval("#stations", (d) => { d.open = true; });
    await page.locator("#every > summary").click();
    await page.waitForFunction((n) => document.querySelectorAll("#every tbody tr").length === n, points.length);
    await page.locator("#every > summary").click();
    // No serious fault for those who read otherwise, in light and in dark, folded and unfolded.
    await page.$$eval("details", (all) => all.forEach((d) => { d.open = true; }));
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme, reducedMotion: "reduce" });
      await page.evaluate(axe);
      const faults = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
      const serious = faults.violations.filter((v) => v.impact === "serious" || v.impact === "critical");
      assert.deepEqual(serious.map((v) => v.id + ": " + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 120)).join(" | ")), [], folder + " in " + colorScheme);
    }
    // In grey: how grave a finding is stands there as a word, and on paper nothing but black tells it.
    const words = await page.$$eval(".finding .tag", (all) => [...new Set(all.map((e) => e.textContent))]);
    assert.ok(words.length > 0 && words.every((w) => ["STOP", "CORRECT", "CHECK"].includes(w)), "tags: " + words);
    await page.emulateMedia({ media: "print" });
    const inks = await page.$$eval(".finding .tag, .verdict p", (all) => [...new Set(all.map((e) => getComputedStyle(e).color))]);
    assert.deepEqual(inks, ["rgb(0, 0, 0)"], "colours on paper");
    await page.emulateMedia({ media: "screen" });
    // On paper.
    await page.$$eval("details", (all) => all.forEach((d) => { d.open = false; }));
    const folded = await open(folder + "/report.html");
    const printed = await folded.pdf({ format: us ? "Letter" : "A4", preferCSSPageSize: false });
    await folded.close();
    const sheets = (printed.toString("latin1").match(/\/Type\s*\/Page\b/g) || []).length;
    assert.ok(sheets >= 4 && sheets <= 6, sheets + " pages on paper");
    console.log(folder + ": " + sheets + " pages on paper");
    await page.close();
    // On a phone: the first screen says what to do, and the page never scrolls sideways.
    const phone = await open(folder + "/report.html", { viewport: { width: 360, height: 740 } });
    assert.ok((await phone.evaluate(() => document.documentElement.scrollWidth)) <= 360, "the page scrolls sideways on a phone");
    // Under eight screens of a usual phone until something is unfolded.
    await phone.setViewportSize({ width: 390, height: 844 });
    const screens = (await phone.evaluate(() => document.documentElement.scrollHeight)) / 844;
    assert.ok(screens < 8, folder + ": " + screens.toFixed(1) + " screens");
    const seen = (q) => phone.$eval(q, (e) => { const b = e.getBoundingClientRect(); return b.bottom > 0 && b.top < innerHeight && b.height > 0; });
    for (const question of await phone.$$eval("section[id^=q-]", (all) => all.map((s) => [s.id, s.getBoundingClientRect().height])))
      assert.ok(question[1] <= 844, folder + ": " + question[0] + " is longer than a screen");
    // From a number on the picture to its finding, to its place on both pictures, and back.
    const badge = phone.locator("figure.strip a[href^='#F']:has(circle)").last();
    const finding = (await badge.getAttribute("href")).slice(1);
    await badge.locator("circle").click();
    await phone.waitForFunction((id) => document.getElementById(id).closest("details").open, finding);
    assert.ok(await seen("#" + finding), "the finding is not on the screen");
    for (const picture of result.route.points.some((p) => p.lat !== undefined) ? ["at", "plan"] : ["at"]) {
      await phone.locator("#" + finding + " a[href='#" + picture + "-" + finding + "']").click();
      await phone.waitForFunction((id) => getComputedStyle(document.getElementById(id)).opacity === "1", picture + "-" + finding);
      assert.ok(await seen("#" + picture + "-" + finding), picture + ": the place is not on the screen");
      await phone.locator(".back:not([hidden]) a").first().click();
      await phone.waitForFunction((id) => location.hash === "#" + id, finding);
      assert.ok(await seen("#" + finding), "the way back leads elsewhere");
    }
    console.log(folder + ": " + screens.toFixed(1) + " screens at 390 px");
    await phone.setViewportSize({ width: 360, height: 740 });
    await phone.evaluate(() => scrollTo(0, 0));
    const todo = await phone.$eval(".verdict li, .verdict p + p", (e) => e.getBoundingClientRect().bottom);
    assert.ok(todo <= 740, "what to do stands below the first screen");
    for (const summary of await phone.$$("details:not([open]) > summary")) await summary.click();
    assert.ok((await phone.evaluate(() => document.documentElement.scrollWidth)) <= 360, "an opened note scrolls the page sideways");
    await phone.close();
  }
  // After a storm, on a phone: tonight's lines first, and what to do about each change within the screen.
  const storm = await open("storm/report.html", { viewport: { width: 360, height: 740 } });
  assert.ok((await storm.evaluate(() => document.documentElement.scrollWidth)) <= 360, "the page of a storm scrolls sideways");
  const lines = await storm.$$eval("#tonight li", (all) => all.length);
  assert.ok(lines >= 3 && lines <= 10, lines + " lines for tonight");
  const cut = await storm.$$eval("#changed td", (all) => all.filter((c) => c.getBoundingClientRect().right > 360).length);
  assert.equal(cut, 0, "what to do runs off the screen");
  assert.ok((await storm.$$("#overlay svg")).length >= 4, "the overlay is not drawn");
  await storm.setViewportSize({ width: 390, height: 844 });
  const after = (await storm.evaluate(() => document.documentElement.scrollHeight)) / 844;
  console.log("storm: " + after.toFixed(1) + " screens at 390 px");
  assert.ok(after < 8, "after a storm: " + after.toFixed(1) + " screens");
  await storm.close();
  // Names that want to run stay text.
  for (const file of ["hostile/report.html", "hostile/profile.svg", "hostile/plan.svg"]) {
    const page = await open(file);
    await page.waitForTimeout(100);
    assert.equal(await page.evaluate(() => window.ran), undefined, file + " ran a name");
    await page.close();
  }
  // The sheet prints on one page of its own size.
  const sheet = await open("metric/profile.svg");
  const text = readFileSync(join(work, "metric/profile.svg"), "utf8");
  const ratio = Number(/1:(\d+) across/.exec(text)[1]);
  const size = /width="([\d.]+)mm"/.exec(text)[1] + "x" + /height="([\d.]+)mm"/.exec(text)[1];
  assert.equal(size, "297x210");
  writeFileSync(join(work, "profile.pdf"), await sheet.pdf({ width: "297mm", height: "210mm", margin: { top: 0, right: 0, bottom: 0, left: 0 } }));
  writeFileSync(join(work, "scale.json"), JSON.stringify({ ratio }));
  assert.deepEqual(said, [], "the browser had something to say");
  console.log("the page holds");
} finally {
  await browser.close();
  rmSync(own, { recursive: true, force: true });
}
