// The page in the field: a walk is recorded, the browser is killed while it records, books are kept row by row, marks are found again. See page.sh.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createRequire } from "node:module";
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const [, , work, file, program] = process.argv;
const require = createRequire(join(work, "package.json"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
const url = "file://" + file;
const own = mkdtempSync(join(tmpdir(), "field-"));
const shots = process.env.SHOTS;
const args = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];
const long = 90_000;
const said = [];
let browser;

// A receiver and a clock that the script has in its hand; the clock runs on from where it was set.
const mocked = () => {
  let ok;
  const real = Date.now.bind(Date);
  let ahead = 0;
  Date.now = () => real() + ahead;
  window.setNow = (ms) => { ahead = ms - real(); };
  window.give = ([timestamp, latitude, longitude, accuracy, altitude, altitudeAccuracy]) => ok?.({ timestamp, coords: { latitude, longitude, accuracy, altitude, altitudeAccuracy } });
  let hidden = false;
  Object.defineProperty(document, "hidden", { get: () => hidden });
  window.hide = (so) => { hidden = so; document.dispatchEvent(new Event("visibilitychange")); };
  Object.defineProperty(navigator, "geolocation", { value: { watchPosition: (f) => { ok = f; return 1; }, clearWatch: () => { ok = undefined; } } });
};

const launch = async () => {
  browser = await chromium.launchPersistentContext(own, { executablePath: process.env.CHROMIUM, headless: true, acceptDownloads: true, args });
  await browser.addInitScript(mocked);
};
const open = async (width = 390, height = 844) => {
  const page = await browser.newPage();
  await page.setViewportSize({ width, height });
  await page.emulateMedia({ reducedMotion: "reduce" });
  page.on("console", (m) => said.push(m.type() + ": " + m.text()));
  page.on("pageerror", (e) => said.push(e.message));
  page.on("request", (r) => { if (r.url() !== url && !/^(blob|data|about):/.test(r.url())) said.push("asked for " + r.url()); });
  await page.goto(url);
  return page;
};
const shot = async (page, name) => shots && page.screenshot({ path: join(shots, `field-${name}.png`), fullPage: true });
const sound = async (page, what) => {
  for (const width of [320, 390, 1280]) {
    await page.setViewportSize({ width, height: 844 });
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= width, `${what} scrolls sideways: ${wide} of ${width}`);
  }
  await page.setViewportSize({ width: 390, height: 844 });
  await page.evaluate(axe);
  const faults = await page.evaluate(async () => (await axe.run(document, { resultTypes: ["violations"], iframes: false })).violations.map((v) => v.id + ": " + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" | ")));
  assert.deepEqual(faults, [], what);
  const small = await page.$$eval("button, select, input:not([type=file]), summary", (all) => all.filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 44 && !e.closest(".check")).map((e) => e.outerHTML.slice(0, 80)));
  assert.deepEqual(small, [], what + ": too small for a glove");
};
const press = (page, name, exact = true) => page.getByRole("button", { name, exact }).click();
const saved = async (page, name, as) => {
  const [download] = await Promise.all([page.waitForEvent("download"), press(page, name)]);
  await download.saveAs(join(work, as));
  return readFileSync(join(work, as), "utf8");
};

// A generator of draws, the same each time.
let seed = 20261129;
const draw = () => {
  seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
  return seed / 2 ** 32;
};
const normal = () => draw() + draw() + draw() + draw() + draw() + draw() + draw() + draw() + draw() + draw() + draw() + draw() - 6;

/** Kills the browser as a flat battery would: nothing is closed, nothing is written after. */
const kill = async () => {
  const parent = new Map();
  for (const pid of readdirSync("/proc").filter((n) => /^\d+$/.test(n))) {
    try {
      const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
      parent.set(Number(pid), Number(stat.slice(stat.lastIndexOf(")") + 2).split(" ")[1]));
    } catch {
      // Gone meanwhile.
    }
  }
  const below = (pid) => pid === process.pid || (parent.has(pid) && below(parent.get(pid)));
  const ours = [...parent.keys()].filter((pid) => pid !== process.pid && below(parent.get(pid)));
  for (const pid of ours) {
    try {
      const command = readFileSync(`/proc/${pid}/cmdline`, "utf8");
      if (command.includes(own) || /chrom/.test(command)) process.kill(pid, "SIGKILL");
    } catch {
      // Ended with its parent.
    }
  }
  await browser.close().catch(() => undefined);
};

async function walk() {
  let page = await open();
  await press(page, "record a walk");
  await page.getByRole("button", { name: "Start the walk" }).waitFor({ timeout: long });
  await sound(page, "before a walk");
  await shot(page, "walk-begin");
  await press(page, "Start the walk");
  await page.getByRole("button", { name: "End of this pass" }).waitFor();
  // Open sea: 300 m that fall by 36 m, walked three times, a fix a second, 15 minutes.
  let now = Date.UTC(2026, 4, 14, 9, 0, 0);
  const given = [];
  let drift = 0;
  const place = (i) => {
    drift = 0.98 * drift + 0.15 * normal();
    const lat = 46.1 - (i / 111_200) + (drift + 0.3 * normal()) / 111_200;
    return [now, lat, -30.5 + (0.3 * normal()) / 77_000, 4 + Math.round(10 * draw()) / 10, 500 - 0.12 * i + 1.2 * drift + 0.2 * normal(), draw() < 0.1 ? null : 6];
  };
  const feed = async (from, to) => {
    const fixes = [];
    for (let i = from; i !== to; i += Math.sign(to - from)) {
      now += 1000;
      fixes.push(place(i));
    }
    given.push(...fixes);
    await page.evaluate(async (all) => {
      for (const fix of all) {
        window.setNow(fix[0]);
        window.give(fix);
        await new Promise((done) => setTimeout(done));
      }
    }, fixes);
  };
  const wait = async (ms) => {
    now += ms;
    await page.evaluate((t) => window.setNow(t), now);
  };
  await page.evaluate((t) => window.setNow(t), now);
  await feed(0, 5);
  await press(page, "Intake");
  await press(page, /Stand still here, 1:00/, false);
  await page.locator("output", { hasText: /0:5\d|1:00/ }).waitFor();
  for (let i = 0; i < 60; i += 1) {
    now += 1000;
    given.push(place(4));
    await page.evaluate((fix) => { window.setNow(fix[0]); window.give(fix); }, given.at(-1));
  }
  await page.getByRole("button", { name: /Stand still here, 1:00/ }).waitFor();
  await feed(5, 120);
  // No fix for a while: told at once.
  await wait(25_000);
  await page.getByText(/No fix for 0:2\d/).waitFor();
  await shot(page, "walk-nofix");
  await feed(145, 180);
  await press(page, "Vent");
  // The phone is locked.
  await page.evaluate(() => window.hide(true));
  await wait(40_000);
  await page.evaluate(() => window.hide(false));
  await feed(200, 300);
  await press(page, "Powerhouse");
  await press(page, "End of this pass");
  await page.locator(".sum li", { hasText: "1 walk gives" }).waitFor({ timeout: long });
  await page.locator(".sum li", { hasText: "With one more walk" }).waitFor();
  await page.locator("li", { hasText: /gap of 26 s .*no fix/ }).waitFor();
  await page.locator("li", { hasText: /gap of 41 s .*locked/ }).waitFor();
  await page.locator("li", { hasText: /In a stop of \d+ s/ }).waitFor();
  await sound(page, "a walk");
  await shot(page, "walk-pass");
  await feed(299, 150);
  const before = given.length;
  const known = Number((await page.locator(".live").innerText()).match(/(\d+) fixes/)[1]);
  assert.equal(known, before);
  // Killed while it records, the last fix just given: that one may be lost, and no other.
  now += 1000;
  given.push(place(149));
  void page.evaluate((fix) => { window.setNow(fix[0]); window.give(fix); }, given.at(-1)).catch(() => undefined);
  await kill();
  await launch();
  page = await open();
  await press(page, "record a walk");
  await page.locator(".kept", { hasText: "walk" }).first().click();
  await page.locator(".live", { hasText: /\d+ fixes/ }).waitFor();
  const after = Number((await page.locator(".live").innerText()).match(/(\d+) fixes/)[1]);
  assert.ok(after >= before, `${before - after} fixes before the last were lost`);
  console.log(`killed while it recorded: ${before + 1} fixes given, ${after} kept`);
  given.length = after;
  await page.evaluate((t) => window.setNow(t), now);
  await press(page, "Go on with this walk");
  await feed(148, 0);
  await press(page, "Intake");
  await press(page, "End of this pass");
  await page.locator(".sum li", { hasText: "walks give" }).waitFor({ timeout: long });
  await feed(0, 295);
  // Storage that is full is told at once, and the walk goes on.
  await page.evaluate(() => {
    window.add = IDBObjectStore.prototype.add;
    IDBObjectStore.prototype.add = () => { throw new DOMException("full", "QuotaExceededError"); };
  });
  await feed(295, 296);
  await page.locator(".alarm", { hasText: "did not keep 1 fixes" }).waitFor();
  await page.evaluate(() => { IDBObjectStore.prototype.add = window.add; });
  await press(page, "Stop the walk");
  await page.getByRole("button", { name: "Save the GPX" }).waitFor();
  const gpx = await saved(page, "Save the GPX", "recorded.gpx");
  // Every fix as the browser gave it, in order, with what the receiver said; a break wherever it broke.
  const read = [...gpx.matchAll(/<trkpt lat="([^"]+)" lon="([^"]+)">(?:<ele>([^<]+)<\/ele>)?<time>([^<]+)<\/time><cmt>([^<]+)<\/cmt>/g)].map((m) => [Date.parse(m[4]), Number(m[1]), Number(m[2]), Number(/^accuracy ([\d.]+) m/.exec(m[5])[1]), Number(m[3]), /altitude accuracy ([\d.]+)/.exec(m[5]) ? 6 : null]);
  assert.equal(read.length, given.length);
  for (const [i, fix] of read.entries()) assert.deepEqual(fix, given[i], `fix ${i}`);
  assert.equal((gpx.match(/<trk>/g) ?? []).length, 4);
  const times = [...gpx.matchAll(/<trkseg>([^]*?)<\/trkseg>/g)].map((m) => [...m[1].matchAll(/<time>([^<]+)/g)].map((t) => Date.parse(t[1])));
  for (const segment of times) for (let i = 1; i < segment.length; i += 1) assert.ok(segment[i] - segment[i - 1] <= 10_000, "a gap lies inside a segment");
  const names = [...gpx.matchAll(/<wpt[^>]*>.*?<name>([^<]+)/g)].map((m) => m[1]);
  assert.deepEqual(names, ["intake", "vent", "powerhouse"]);
  console.log(`the GPX holds the ${read.length} fixes that were given, in ${times.length} segments`);
  await shot(page, "walk-end");
  await press(page, "Use this walk");
  await page.locator(".verdict .line").first().waitFor({ timeout: long });
  await page.waitForFunction(() => !document.querySelector("[data-stale]"), undefined, { timeout: long });
  // A second time it would be another pass of the site at hand: what all show is said first.
  await page.evaluate(() => { location.hash = "#walk"; });
  await press(page, "Use this walk");
  await page.getByRole("button", { name: "Add it to this site" }).waitFor({ timeout: long });
  // The way back to its marks, from a place beside the vent.
  await page.evaluate(() => { location.hash = "#back"; });
  await press(page, "Show the way");
  const [, lat, lon] = given.find((f) => f[0] === given[0][0] + 0) ?? given[0];
  const here = [lat + 50 / 111_200, lon];
  await page.evaluate(([a, b]) => window.give([Date.now(), a, b, 6, null, null]), here);
  const first = page.locator(".places li").first();
  await first.waitFor({ timeout: long });
  assert.match(await first.innerText(), /intake[^]*5\d m to the south/);
  assert.match(await page.locator(".hint").first().innerText(), /within 6 m/);
  await sound(page, "the way back");
  await shot(page, "back");
  await page.waitForTimeout(1600);
  await page.evaluate(([a, b]) => window.give([Date.now(), a, b, 6, null, null]), [lat, lon]);
  await page.locator(".places .here").waitFor({ timeout: long });
  await page.close();
}

// What `survey` says of the check of a book, in the words it uses.
const checked = (csv) => {
  const folder = mkdtempSync(join(tmpdir(), "book-"));
  try {
    writeFileSync(join(folder, "level-book.csv"), csv);
    const out = execFileSync(program, ["survey", "level-book.csv", "--json", "--taped", "slope"], { cwd: folder, encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
    return out.match(/arithmetic check: [^"\\]*/)?.[0];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

async function book() {
  const page = await open();
  for (let n = 0; n < 3; n += 1) {
    await page.evaluate(() => { location.hash = "#survey"; });
    await page.evaluate(() => { location.hash = "#book"; });
    await press(page, "Level book");
    const cell = (label) => page.getByLabel(label, { exact: true });
    await cell("Backsight, m").waitFor();
    // A loop of so many set-ups down and back, the last foresight to close within 3 mm.
    const setups = 2 + n;
    const rows = [];
    let height = 100;
    let station = 0;
    const mm = (v) => Math.round(v * 1000) / 1000;
    const heights = [];
    for (let i = 0; i < 2 * setups; i += 1) {
      const down = i < setups;
      const back = mm(down ? 0.5 + draw() : 3 + draw());
      const fore = i === 2 * setups - 1 ? mm(height + back - 100 - 0.002) : mm(down ? 3 + draw() : 0.5 + draw());
      if (i === 0) {
        rows.push({ "Station, m": "0", "Backsight, m": back.toFixed(3), "Elevation, m": "100", Point: "A" });
        heights.push(100);
      } else rows.at(-1)["Backsight, m"] = back.toFixed(3);
      const sight = height + back;
      if (down && draw() < 0.7) {
        const between = mm(back + draw() * (fore - back));
        station += 7;
        rows.push({ "Station, m": String(station), "Intermediate sight, m": between.toFixed(3) });
        heights.push(sight - between);
      }
      station += down ? 9 : 0;
      height = sight - fore;
      const last = i === 2 * setups - 1;
      rows.push({ "Foresight, m": fore.toFixed(3), ...(last ? { Point: "A" } : down ? { "Station, m": String(station) } : {}) });
      heights.push(height);
    }
    for (const [i, row] of rows.entries()) {
      if (n === 0 && i === 0) {
        // The first by the keypad alone.
        for (const [label, text] of Object.entries(row).filter(([l]) => l !== "Point")) {
          await cell(label).focus();
          for (const sign of text) await press(page, sign === "." ? "decimal point" : sign);
        }
        assert.equal(await cell("Backsight, m").inputValue(), row["Backsight, m"]);
        await cell("Point").fill("A");
        await sound(page, "the book");
        await shot(page, "book-first");
      } else for (const [label, text] of Object.entries(row)) await cell(label).fill(text);
      if (n === 1) await cell(Object.keys(row)[0]).press("Enter");
      else await press(page, "Book the row");
      const shown = page.locator("tbody tr").nth(i).locator(".carried");
      await page.waitForFunction(([i, all]) => {
        const cells = [...(document.querySelectorAll("tbody tr")[i]?.querySelectorAll(".carried") ?? [])].map((c) => c.textContent);
        return cells.includes(all);
      }, [i, heights[i].toFixed(3)], { timeout: long });
      assert.ok((await shown.allInnerTexts()).includes(heights[i].toFixed(3)));
      // The check of the page, by hand: backsights less the last readings is the change of height.
      const line = await page.locator(".check-line p", { hasText: "arithmetic check" }).innerText();
      assert.ok(line.endsWith(`Last height minus first height is ${(heights[i] - 100 + 0).toFixed(3).replace("-0.000", "0.000")} m`), `${line}: ${heights[i]}`);
      assert.match(await page.locator(".carry").innerText(), new RegExp(`^row ${i + 1},.* elevation ${heights[i].toFixed(3)}`), "the carry is on screen");
      const csv = "station_m,bs_m,is_m,fs_m,elevation_m,point\n" + rows.slice(0, i + 1).map((r) => [r["Station, m"], r["Backsight, m"], r["Intermediate sight, m"], r["Foresight, m"], r["Elevation, m"], r.Point].map((c) => c ?? "").join(",")).join("\n") + "\n";
      const whole = row["Foresight, m"] && !row["Backsight, m"];
      if (whole && i > 1) assert.equal(line, checked(csv), "the page and `survey` check alike");
    }
    await page.locator(".check-line.holds").waitFor({ timeout: long });
    await page.locator(".said", { hasText: "the misclosure of the book is 0.002 m" }).waitFor();
    await shot(page, `book-${n}`);
    if (n > 0) continue;
    // A row that breaks the rules is told at once, and is put right.
    await cell("Backsight, m").fill("14.25");
    await press(page, "Book the row");
    await page.locator(".told", { hasText: "more than the length of the staff" }).waitFor({ timeout: long });
    assert.equal(await page.locator("tr.wrong").count(), 1);
    await sound(page, "a wrong row");
    await press(page, "Remove the last row");
    await page.locator("tr.wrong").waitFor({ state: "detached", timeout: long });
    // A row half typed, and the tab is gone.
    await cell("Backsight, m").fill("1.5");
    await page.waitForTimeout(300);
    await page.reload();
    await page.locator(".kept", { hasText: "level-book.csv" }).first().click();
    await cell("Backsight, m").waitFor();
    assert.equal(await cell("Backsight, m").inputValue(), "1.5");
    assert.equal(await page.locator("tbody tr").count(), rows.length);
    await cell("Backsight, m").fill("");
    const csv = await saved(page, "Save the CSV", "level-book.csv");
    assert.match(csv, /^station_m,bs_m,is_m,fs_m,elevation_m,point,setup,remark\n/);
    await press(page, "Use this book");
    await page.locator(".verdict .line, .told").first().waitFor({ timeout: long });
    await press(page, "Another pipe");
  }
  await page.close();
}

// Legs with a clinometer: each falls by its length times the sine of its angle (plane trigonometry).
async function legs() {
  const page = await open(320);
  await page.evaluate(() => { location.hash = "#book"; });
  await press(page, "Tape and angle");
  const cell = (label) => page.getByLabel(label, { exact: true });
  let height = 100;
  for (let i = 0; i < 6; i += 1) {
    const [length, angle] = [(8 + 20 * draw()).toFixed(2), (-12 + 10 * draw()).toFixed(1)];
    height += Number(length) * Math.sin((Number(angle) * Math.PI) / 180);
    await cell("From").fill(`P${i}`);
    await cell("To").fill(`P${i + 1}`);
    await cell("Tape length, m").fill(length);
    await cell("Angle, \u00b0").fill(angle);
    await press(page, "Book the row");
    await page.locator(".carry", { hasText: `row ${i + 1}, elevation ${height.toFixed(3)}` }).waitFor({ timeout: long });
  }
  await page.locator(".said", { hasText: "does not close on a known height" }).waitFor();
  await sound(page, "the legs");
  await shot(page, "legs");
  await page.close();
}

async function gauge() {
  const page = await open();
  await press(page, "try the sample");
  await page.locator(".verdict .line").first().waitFor({ timeout: long });
  await page.waitForFunction(() => location.hash === "#answer" && !document.querySelector("[data-stale]"), undefined, { timeout: long });
  await press(page, "A gauge reading");
  const pressure = page.getByLabel(/^Pressure/);
  for (const [state, figure] of [["all jets", "690"], ["shut", "770"], ["all jets", "689"]]) {
    await pressure.waitFor({ timeout: long });
    await pressure.focus();
    for (const sign of figure) await press(page, sign);
    // Two taps: the state, and to keep it.
    await press(page, state);
    await press(page, "Keep the reading");
    await page.waitForFunction(() => document.querySelector("#pressure")?.value === "", undefined, { timeout: long });
  }
  await page.locator("output", { hasText: /^3$/ }).waitFor({ timeout: long });
  await page.waitForFunction(() => document.querySelector(".bar")?.hidden !== false, undefined, { timeout: long });
  await page.locator(".shown p").first().waitFor({ timeout: long });
  await sound(page, "the gauge book");
  await shot(page, "gauge");
  await press(page, "Keep or share");
  const [download] = await Promise.all([page.waitForEvent("download"), press(page, "Save as one zip")]);
  await download.saveAs(join(work, "gauge.zip"));
  mkdirSync(join(work, "from-gauge"));
  execFileSync("python3", ["-m", "zipfile", "-e", join(work, "gauge.zip"), join(work, "from-gauge")]);
  const told = JSON.parse(execFileSync(program, ["log", "site.toml", "--json"], { cwd: join(work, "from-gauge"), encoding: "utf8" }));
  assert.equal(told.gauge_book.rows_read, 3);
  await page.close();
}

try {
  await launch();
  await walk();
  await book();
  await legs();
  await gauge();
  assert.deepEqual(said, [], "the browser had something to say");
  console.log("the page holds in the field");
} catch (why) {
  for (const [i, page] of browser.pages().entries()) if (shots) await page.screenshot({ path: join(shots, `field-broken-${i}.png`), fullPage: true }).catch(() => {});
  if (said.length > 0) console.error(said.slice(0, 10).join("\n"));
  throw why;
} finally {
  await browser.close().catch(() => undefined);
  rmSync(own, { recursive: true, force: true });
}
