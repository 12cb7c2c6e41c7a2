// The page by pointer, by keyboard, by touch: see page.sh.
import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { createServer } from "node:http";
import { tmpdir } from "node:os";
import { dirname, extname, join } from "node:path";

const [, , work, file] = process.argv;
const require = createRequire(join(work, "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const url = "file://" + file;
const own = mkdtempSync(join(tmpdir(), "page-"));
const shots = process.env.SHOTS;
const args = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
const browser = await chromium.launchPersistentContext(own, { executablePath: process.env.CHROMIUM, headless: true, acceptDownloads: true, args });
const said = [];
const long = 180_000;

const open = async (viewport, options = {}) => {
  const page = await browser.newPage();
  await page.setViewportSize(viewport);
  await page.emulateMedia({ reducedMotion: "reduce", ...options });
  page.on("console", (m) => said.push(m.type() + ": " + m.text()));
  page.on("pageerror", (e) => said.push(e.message));
  page.on("dialog", (d) => { said.push("a dialog"); d.dismiss(); });
  page.on("request", (r) => { if (r.url() !== url && !/^(blob|data|about):/.test(r.url())) said.push("asked for " + r.url()); });
  await page.goto(url);
  return page;
};
const spent = new Map();
// Processor time that the whole browser took, all its threads, s: it does not hang on what else this machine does.
const worked = () => {
  const of = new Map();
  for (const pid of readdirSync("/proc").filter((n) => /^\d+$/.test(n))) {
    try {
      const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
      const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
      of.set(Number(pid), { parent: Number(fields[1]), ticks: Number(fields[11]) + Number(fields[12]) });
    } catch {
      // Gone meanwhile.
    }
  }
  const below = (pid) => pid === process.pid || (of.has(pid) && below(of.get(pid).parent));
  // What a process took that has ended meanwhile still counts.
  for (const [pid, p] of of) if (pid !== process.pid && below(p.parent)) spent.set(pid, p.ticks);
  return [...spent.values()].reduce((sum, ticks) => sum + ticks, 0) / 100;
};
const timed = async (what, deed) => {
  const [began, before] = [Date.now(), worked()];
  const out = await deed();
  console.log(`${what}: ${((Date.now() - began) / 1000).toFixed(1)} s here, ${(worked() - before).toFixed(1)} s of processor time`);
  return out;
};
const shot = async (page, name) => shots && page.screenshot({ path: join(shots, name + ".png") });
const choose = async (page, label, ...names) => {
  const chosen = page.waitForEvent("filechooser");
  await page.getByRole("button", { name: label }).click();
  await (await chosen).setFiles(names.map((n) => join(work, "files", n)));
};
const settled = async (page) => {
  await page.locator(".verdict .line").first().waitFor({ timeout: long });
  await page.waitForFunction(() => !document.querySelector("[data-stale]") && document.querySelector(".bar")?.hidden !== false, undefined, { timeout: long });
};
// Nothing wrong for those who read otherwise, and figures with the contrast of bright sun; no sideways scroll.
const sound = async (page, what, width) => {
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= width, `${what} scrolls sideways: ${wide} of ${width}`);
  await page.evaluate(axe);
  const faults = await page.evaluate(async () => {
    const all = await axe.run(document, { resultTypes: ["violations"], iframes: false });
    const sun = await axe.run({ include: [[".verdict"], [".figures"], ["h1"], [".main"]].filter((s) => document.querySelector(s[0])) }, { runOnly: ["color-contrast-enhanced"], rules: { "color-contrast-enhanced": { enabled: true } } });
    return [...all.violations, ...sun.violations].map((v) => v.id + ": " + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" | "));
  });
  assert.deepEqual(faults, [], what);
  const small = await page.$$eval("button, select, input:not([type=file]), summary", (all) => all.filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 44 && !e.closest(".check")).map((e) => e.outerHTML.slice(0, 80)));
  assert.deepEqual(small, [], what + ": too small for a glove");
};
const kept = async (page, name) => {
  await page.getByRole("button", { name: "Keep or share" }).first().click();
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as one zip" }).click()]);
  await download.saveAs(join(work, name + ".zip"));
};
const figures = (page) => page.$$eval(".figures div", (all) => Object.fromEntries(all.map((d) => [d.querySelector("dt").textContent, d.querySelector("dd").firstChild.textContent])));
const answer = async (page) => [await page.locator(".verdict .line").innerText(), await figures(page)];
const remove = async (page) => {
  await page.getByRole("button", { name: "Remove from this browser" }).click();
  await page.getByText("Select the walk").waitFor();
};

// Served once, then without a network: the page opens, works, and takes what another app shares to it.
const installed = async () => {
  const kinds = { ".html": "text/html", ".js": "text/javascript", ".svg": "image/svg+xml", ".webmanifest": "application/manifest+json" };
  const other = '<!DOCTYPE html><form method="post" enctype="multipart/form-data" action="/page/share"><input type="file" name="survey"><button>share</button></form>';
  const server = createServer((asked, answer) => {
    const name = new URL(asked.url, "http://localhost").pathname;
    const path = name === "/other.html" ? undefined : join(dirname(file), name.replace(/^\/page\//, "").replace(/^$/, "index.html"));
    const body = path === undefined ? other : existsSync(path) ? readFileSync(path) : undefined;
    answer.writeHead(body === undefined ? 404 : 200, { "content-type": path === undefined ? "text/html" : (kinds[extname(path)] ?? "application/octet-stream") });
    answer.end(body);
  });
  await new Promise((done) => server.listen(0, "localhost", done));
  const at = `http://localhost:${server.address().port}`;
  const page = await browser.newPage();
  page.on("pageerror", (e) => said.push(e.message));
  await page.goto(`${at}/page/`);
  await page.waitForFunction(() => navigator.serviceWorker.ready.then((own) => own.active?.state === "activated" && !!navigator.serviceWorker.controller), undefined, { timeout: long });
  const manifest = await (await fetch(new URL(await page.getAttribute("link[rel=manifest]", "href"), `${at}/page/`))).json();
  assert.equal(manifest.display, "standalone");
  await page.goto(`${at}/other.html`);
  server.closeAllConnections();
  await new Promise((done) => server.close(done));
  await page.setInputFiles("input", join(work, "files", "walk.gpx"));
  await page.getByRole("button", { name: "share" }).click();
  await settled(page);
  assert.equal(await page.locator(".names li").innerText(), "walk.gpx");
  await page.reload();
  await settled(page);
  await page.close();
};

// A tab with too little memory says so, and says nothing else.
const small = async () => {
  const other = await chromium.launch({ executablePath: process.env.CHROMIUM, headless: true, args: [...args, "--js-flags=--wasm-max-mem-pages=60"] });
  const page = await other.newPage();
  await page.goto(url);
  await page.setInputFiles("input[type=file]", join(work, "files", "walk.gpx"));
  await page.locator(".told", { hasText: "The memory of this tab is not sufficient" }).waitFor({ timeout: long });
  assert.equal(await page.locator(".verdict").count(), 0);
  await other.close();
};

try {
  for (const [width, height] of [[390, 844], [1280, 800]]) {
    const at = (what) => `${what} at ${width}`;
    const cold = [Date.now(), worked()];
    const page = await open({ width, height });
    // The first screen asks for the walk, and for nothing else.
    const ask = page.getByRole("button", { name: "Select files" });
    await ask.waitFor();
    assert.equal(await page.locator("h1").count(), 1);
    const box = await ask.boundingBox();
    assert.ok(box.y + box.height <= height, "the question stands below the first screen");
    assert.ok((await page.evaluate(() => document.documentElement.scrollHeight)) <= height, "the first screen is more than one");
    assert.ok((await page.locator("main").innerText()).split(/\s+/).length < 40, "the first screen explains");
    await sound(page, at("the first screen"), width);
    await shot(page, `first-${width}`);
    // A walk alone.
    await timed(`the walk's verdict at ${width}`, async () => {
      await choose(page, "Select files", "walk.gpx");
      await settled(page);
    });
    console.log(`from opening the page, with what this script looked at between: ${((Date.now() - cold[0]) / 1000).toFixed(1)} s here, ${(worked() - cold[1]).toFixed(1)} s of processor time`);
    await sound(page, at("the survey"), width);
    await shot(page, `survey-${width}`);
    await page.getByRole("button", { name: "Report of the survey" }).click();
    const frame = page.frameLocator("iframe.report");
    await frame.locator("h1").waitFor();
    await page.goBack();
    await settled(page);
    // A wrong figure is told at its field, and the answer waits.
    await page.getByRole("button", { name: "Next: pipe and nozzles" }).click();
    const nozzle = page.locator("[data-at='turbine.0.nozzle_diameter']");
    await nozzle.locator("input").fill("9");
    await page.locator("[data-at='turbine.0.jets'] input").fill("4");
    await page.locator("[data-at='pipe.0.spec'] select").first().selectOption({ index: 1 });
    await page.locator("[data-at='pipe.0.spec'] select").nth(1).selectOption({ index: 2 });
    await page.locator("[data-at='pipe.0.spec'] select").nth(2).selectOption({ index: 9 });
    await sound(page, at("pipe and nozzles"), width);
    await shot(page, `plant-${width}`);
    await page.getByRole("button", { name: "The answer", exact: true }).click();
    await nozzle.locator(".told").waitFor({ timeout: long });
    assert.equal(await nozzle.locator("input").getAttribute("aria-invalid"), "true");
    assert.equal(await nozzle.locator("input").evaluate((e) => e === document.activeElement), true, "the wrong field has not the focus");
    await sound(page, at("a wrong field"), width);
    await shot(page, `wrong-${width}`);
    await nozzle.locator("input").fill("9 mm");
    await page.getByRole("button", { name: "The answer", exact: true }).click();
    await page.waitForFunction(() => location.hash === "#answer", undefined, { timeout: long });
    await settled(page);
    await shot(page, `own-answer-${width}`);
    if (width === 390) {
      await page.evaluate(() => { location.hash = "#survey"; });
      await settled(page);
    }
    await page.getByRole("button", { name: "Another pipe" }).click();
    // What the browser kept is there, and is taken up again.
    const again = page.locator(".kept").first();
    await again.waitFor();
    await again.click();
    await settled(page);
    await page.getByRole("button", { name: "Keep or share" }).first().click();
    await remove(page);
    // The samples, whole.
    for (const [name, label] of [["us", "the sample in feet"], ["metric", "try the sample"]]) {
      if (width !== 390 && name === "us") continue;
      await timed(`the ${name} sample's verdict at ${width}`, async () => {
        await page.getByRole("button", { name: label }).click();
        await page.waitForFunction(() => location.hash === "#answer", undefined, { timeout: long });
        await settled(page);
      });
      await sound(page, at(name + " sample"), width);
      await shot(page, `answer-${name}-${width}`);
      if (name === "us") {
        await kept(page, name);
        await remove(page);
      }
    }
    // The report, as a view of its own.
    await page.getByRole("button", { name: "The report" }).click();
    await frame.locator("h1").waitFor();
    const inner = page.frames().find((f) => f !== page.mainFrame());
    assert.ok((await inner.evaluate(() => document.documentElement.scrollWidth)) <= width, "the report scrolls sideways");
    await inner.evaluate(axe);
    const serious = (await inner.evaluate(() => axe.run(document, { resultTypes: ["violations"] }))).violations.filter((v) => v.impact === "serious" || v.impact === "critical");
    assert.deepEqual(serious.map((v) => v.id + ": " + v.nodes[0].html.slice(0, 160)), [], "the report");
    await sound(page, at("the report"), width);
    await shot(page, `report-${width}`);
    if (width === 390) {
      // Printed, it is the report, page for page, and nothing of the page round it is left or lost.
      const sheets = (pdf) => pdf.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
      const alone = await browser.newPage();
      await alone.setContent(await page.getAttribute("iframe.report", "srcdoc"));
      const wanted = sheets(await alone.pdf());
      await alone.close();
      const shown = await page.evaluate(() => document.body.innerHTML.length);
      assert.ok(wanted > 1);
      assert.equal(sheets(await page.pdf()), wanted, "the printed page is not the report");
      assert.equal(await page.evaluate(() => document.body.innerHTML.length), shown);
    }
    await page.goBack();
    await settled(page);
    if (width === 390) {
      // After the storm, sizes, and everything in one zip: the sample's folder as the native program leaves it.
      await page.getByRole("button", { name: "After the storm" }).click();
      await choose(page, "Select the new survey", "after-storm.gpx");
      await settled(page);
      await sound(page, at("the storm"), width);
      await shot(page, "storm-390");
      await page.goBack();
      await settled(page);
      await page.getByRole("button", { name: "Compare sizes" }).click();
      await page.locator("table tbody tr").first().waitFor({ timeout: long });
      await sound(page, at("sizes"), width);
      await shot(page, "sizes-390");
      await page.goBack();
      await settled(page);
      await kept(page, "metric");
      await sound(page, at("keeping"), width);
      await shot(page, "keep-390");
      await page.goBack();
    }
    // A control beside its figures: another nozzle, another flow, and what it was.
    await settled(page);
    const before = await figures(page);
    const set = page.locator("[data-at='turbine.0.nozzle_diameter'] input");
    await set.fill("8 mm");
    await set.press("Enter");
    await page.locator("[data-stale]").waitFor();
    await page.locator(".figures .was").first().waitFor({ timeout: long });
    await settled(page);
    const now = await figures(page);
    assert.notEqual(now.flow, before.flow);
    const was = await page.locator(".figures div.changed", { hasText: "flow" }).first().innerText();
    assert.ok(was.includes(before.flow), "what the flow was is not shown");
    await shot(page, `changed-${width}`);
    if (width === 390) {
      // Every other control: how fast the jets close, the class, a device; each is computed anew, greyed until then.
      const shown = () => page.locator(".shown").innerText();
      const device = page.locator(".check input").first();
      let without;
      for (const [what, deed] of [
        ["the closing time", async () => {
          await page.locator("[data-at='movement.0.over'] input").fill("1 s");
          await page.locator("[data-at='movement.0.over'] input").press("Enter");
        }],
        ["the class", async () => {
          const list = page.getByLabel("Class of pipe 1");
          const [now, all] = await list.evaluate((e) => [e.selectedIndex, e.options.length]);
          await list.selectOption({ index: now > 0 ? now - 1 : all - 1 });
        }],
        ["a device", async () => {
          without = await answer(page);
          await device.check();
        }],
      ]) {
        const old = await shown();
        await deed();
        await page.locator("[data-stale]").waitFor({ timeout: long });
        await settled(page);
        assert.notEqual(await shown(), old, `${what} changes nothing`);
      }
      // A device can be taken back, and then nothing is left of it.
      assert.equal(await device.isChecked(), true);
      await device.uncheck();
      await page.locator("[data-stale]").waitFor({ timeout: long });
      await settled(page);
      assert.deepEqual(await answer(page), without);
      await shot(page, "tried-390");
    }
    // Stopped: the last answer stands, and the next run goes on.
    const last = await figures(page);
    await set.fill("7 mm");
    await set.press("Enter");
    const stop = page.getByRole("button", { name: "Stop" });
    await stop.waitFor();
    await stop.click();
    await page.getByText("Stopped").waitFor();
    assert.deepEqual(await figures(page), last);
    await set.fill("8.5 mm");
    await set.press("Enter");
    await page.waitForFunction((old) => ![...document.querySelectorAll(".figures div")].some((d) => d.querySelector("dt").textContent === "flow" && d.querySelector("dd").firstChild.textContent === old), last.flow, { timeout: long });
    await settled(page);
    // Reloaded: the same site is at hand.
    const title = await page.locator(".of").innerText();
    await page.waitForFunction(() => new Promise((done) => {
      const base = indexedDB.open("steadyfall");
      base.onsuccess = () => {
        const all = base.result.transaction("sites").objectStore("sites").getAll();
        all.onsuccess = () => { base.result.close(); done(all.result.some((s) => s.text.includes("8.5 mm"))); };
      };
    }), undefined, { timeout: long });
    await page.reload();
    await settled(page);
    assert.equal(await page.locator(".of").innerText(), title);
    assert.equal(await set.inputValue(), "8.5 mm");
    if (width === 390) {
      await page.getByRole("button", { name: "Keep or share" }).first().click();
      await remove(page);
    }
    await page.close();
  }
  const phone = { width: 390, height: 844 };
  // The zip that was kept opens again, by dropping it.
  const page = await open(phone);
  await settled(page);
  await page.getByRole("button", { name: "Another pipe" }).click();
  const bytes = readFileSync(join(work, "metric.zip")).toString("base64");
  await page.evaluate(async (text) => {
    const data = new DataTransfer();
    data.items.add(new File([Uint8Array.from(atob(text), (c) => c.charCodeAt(0))], "metric.zip"));
    document.querySelector("main").dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
  }, bytes);
  await page.waitForFunction(() => location.hash === "#answer", undefined, { timeout: long });
  await settled(page);
  // A walk by the name of one that wants to run, kept as it is by the native program too.
  await page.getByRole("button", { name: "Another pipe" }).click();
  await choose(page, "Select files", "walk.gpx");
  await settled(page);
  await kept(page, "walk");
  // Hostile names run nothing, in the page or in its reports.
  for (const names of [["hostile<img src=x onerror=window.ran=1>.gpx"], ["site.toml", "hostile-walk.gpx"]]) {
    await page.getByRole("button", { name: "Another pipe" }).click();
    await choose(page, "Select files", ...names);
    await settled(page);
    await page.getByRole("button", { name: names.length > 1 ? "The report" : "Report of the survey" }).click();
    await page.frameLocator("iframe.report").locator("h1").waitFor();
    await page.waitForTimeout(200);
    for (const f of page.frames()) assert.equal(await f.evaluate(() => window.ran), undefined, names[0] + " ran");
    await page.goBack();
    await settled(page);
  }
  await page.close();
  // By keyboard alone.
  const keys = await open({ width: 1280, height: 800 }, { colorScheme: "dark" });
  await settled(keys);
  await sound(keys, "the answer in the dark", 1280);
  await shot(keys, "dark-1280");
  const reach = async (name, most = 60) => {
    for (let i = 0; i < most; i += 1) {
      await keys.keyboard.press("Tab");
      if (await keys.evaluate((n) => (document.activeElement?.getAttribute("aria-label") ?? document.activeElement?.textContent ?? "").trim() === n, name)) return;
    }
    assert.fail(`"${name}" is not reached by the keyboard`);
  };
  await reach("Another pipe");
  await keys.keyboard.press("Enter");
  // Only once the first screen stands: what is drawn anew takes the focus.
  await keys.getByText("Select the walk").waitFor();
  await reach("Select files");
  const chosen = keys.waitForEvent("filechooser");
  // A key is faster than the script's wish to be handed the chooser.
  await keys.waitForTimeout(500);
  await keys.keyboard.press("Enter");
  await (await chosen).setFiles(join(work, "files", "walk.gpx"));
  await settled(keys);
  await reach("Next: pipe and nozzles");
  await keys.keyboard.press("Enter");
  await keys.locator("[data-at='turbine.0.jets']").waitFor();
  await reach("more jets");
  await keys.keyboard.press("Enter");
  await keys.waitForFunction(() => document.querySelector("[data-at='turbine.0.jets'] input").value !== "");
  await reach("The answer");
  await keys.keyboard.press("Enter");
  await keys.locator(".told").first().waitFor({ timeout: long });
  // A zip by the same keys; a control; stopped; opened anew, and on to the report.
  await reach("Another pipe");
  await keys.keyboard.press("Enter");
  await keys.getByText("Select the walk").waitFor();
  await reach("Select files");
  const zip = keys.waitForEvent("filechooser");
  await keys.waitForTimeout(500);
  await keys.keyboard.press("Enter");
  await (await zip).setFiles(join(work, "metric.zip"));
  await keys.waitForFunction(() => location.hash === "#answer", undefined, { timeout: long });
  await settled(keys);
  const stood = await figures(keys);
  await reach("less jets");
  await keys.keyboard.press("Enter");
  await keys.getByRole("button", { name: "Stop" }).waitFor();
  await keys.keyboard.press("Shift+Tab");
  await keys.keyboard.press("Enter");
  await keys.getByText("Stopped").waitFor();
  assert.deepEqual(await figures(keys), stood);
  await reach("less jets");
  await keys.keyboard.press("Enter");
  await keys.locator(".figures .was").first().waitFor({ timeout: long });
  await settled(keys);
  await keys.reload();
  await settled(keys);
  await reach("The report");
  await keys.keyboard.press("Enter");
  await keys.frameLocator("iframe.report").locator("h1").waitFor();
  await keys.close();
  if (existsSync(join(dirname(file), "sw.js"))) await installed();
  await small();
  assert.deepEqual(said, [], "the browser had something to say");
  console.log("the page holds");
} catch (why) {
  for (const [i, page] of browser.pages().entries()) if (shots) await page.screenshot({ path: join(shots, `broken-${i}.png`) }).catch(() => {});
  if (said.length > 0) console.error(said.slice(0, 10).join("\n"));
  throw why;
} finally {
  await browser.close();
  rmSync(own, { recursive: true, force: true });
}
