// The page in the field: a walk is recorded, the browser is killed while it records, books are kept row by row, marks are found again. See page.sh.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
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
const long = 180_000;
const said = [];
let browser;

// The clock of the page is in the script's hand: no countdown is waited for, and no busy machine is late.
let now = Date.UTC(2026, 4, 14, 9, 0, 0);
const pass = async (ms) => {
  now += ms;
  await browser.clock.runFor(ms);
};
/** Something of the page that needs its clock to go on. */
const going = async (deed) => {
  let open = true;
  const done = deed.finally(() => { open = false; });
  while (open) await pass(20);
  return done;
};

// A receiver that the script has in its hand.
const mocked = () => {
  let ok;
  window.give = ([timestamp, latitude, longitude, accuracy, altitude, altitudeAccuracy]) => ok?.({ timestamp, coords: { latitude, longitude, accuracy, altitude, altitudeAccuracy } });
  let hidden = false;
  Object.defineProperty(document, "hidden", { get: () => hidden });
  window.hide = (so) => { hidden = so; document.dispatchEvent(new Event("visibilitychange")); };
  Object.defineProperty(navigator, "geolocation", { value: { watchPosition: (f) => { ok = f; return 1; }, clearWatch: () => { ok = undefined; } } });
};

const launch = async () => {
  browser = await chromium.launchPersistentContext(own, { executablePath: process.env.CHROMIUM, headless: true, acceptDownloads: true, args });
  browser.setDefaultTimeout(long);
  await browser.addInitScript(mocked);
  await browser.clock.install({ time: now });
  await browser.clock.pauseAt(now += 1000);
};
const open = async (width = 390, height = 844, before) => {
  const page = await browser.newPage();
  if (before) await page.addInitScript(before);
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
  await page.evaluate(axe);
  for (const width of [1280, 390, 320]) {
    await page.setViewportSize({ width, height: 844 });
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= width, `${what} scrolls sideways: ${wide} of ${width}`);
  }
  // Figures have the contrast of bright sun, by day and by night.
  for (const colorScheme of ["dark", "light"]) {
    await page.emulateMedia({ reducedMotion: "reduce", colorScheme });
    const faults = await going(page.evaluate(async () => {
      const all = await axe.run(document, { resultTypes: ["violations"], iframes: false });
      const there = ["h1", ".main", ".live", ".count-down", ".alarm", ".carry", ".verdict", ".figures", ".places"].filter((s) => document.querySelector(s));
      const sun = await axe.run({ include: there.map((s) => [s]) }, { runOnly: ["color-contrast-enhanced"], rules: { "color-contrast-enhanced": { enabled: true } } });
      return [...all.violations, ...sun.violations].map((v) => v.id + ": " + v.nodes.slice(0, 3).map((n) => n.html.slice(0, 160)).join(" | "));
    }));
    assert.deepEqual(faults, [], `${what}, ${colorScheme}`);
  }
  const small = await page.$$eval("button, select, input:not([type=file]), summary", (all) => all.filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 44 && !e.closest(".check")).map((e) => e.outerHTML.slice(0, 80)));
  assert.deepEqual(small, [], what + ": too small for a glove");
  await page.setViewportSize({ width: 390, height: 844 });
};
const pressed = new Set();
const press = (page, name) => {
  pressed.add(name);
  return page.getByRole("button", { name, exact: true }).click();
};
/** What the browser's storage holds, asked past the page. */
const stored = (page, name) => page.evaluate((store) => new Promise((done, failed) => {
  const base = indexedDB.open("steadyfall");
  base.onerror = () => failed(base.error);
  base.onsuccess = () => {
    const all = base.result.transaction(store).objectStore(store).getAll();
    all.onsuccess = () => { base.result.close(); done(all.result); };
  };
}), name);
const until = async (what, holds) => {
  for (const began = Date.now(); !(await holds());) assert.ok(Date.now() - began < long, `${what} did not come`);
};
/** The browser's storage as small as this from now on. */
const quota = async (page, quotaSize) => {
  const session = await browser.newCDPSession(page);
  await session.send("Storage.overrideQuotaForOrigin", { origin: "file://", ...(quotaSize === undefined ? {} : { quotaSize }) });
};
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

// The first day of the guide, in its order: the walk down, up and down again.
async function walk() {
  let page = await open();
  await press(page, "record a walk");
  await page.getByRole("button", { name: "Start the walk" }).waitFor();
  await sound(page, "before a walk");
  await shot(page, "walk-begin");
  await press(page, "Start the walk");
  await page.getByRole("button", { name: "End of this pass" }).waitFor();
  // Open sea: 300 m that fall by 36 m, walked three times, a fix a second, 15 minutes.
  const given = [];
  let drift = 0;
  const place = (i) => {
    drift = 0.98 * drift + 0.15 * normal();
    const lat = 46.1 - (i / 111_200) + (drift + 0.3 * normal()) / 111_200;
    return [now, lat, -30.5 + (0.3 * normal()) / 77_000, 4 + Math.round(10 * draw()) / 10, 500 - 0.12 * i + 1.2 * drift + 0.2 * normal(), draw() < 0.1 ? null : 6];
  };
  const give = async (i) => {
    await pass(1000);
    given.push(place(i));
    await page.evaluate((fix) => window.give(fix), given.at(-1));
  };
  const feed = async (from, to) => {
    for (let i = from; i !== to; i += Math.sign(to - from)) await give(i);
  };
  /** A stop of the page's own length: its countdown runs down to the end, second by second, and the stop ends by itself. */
  const stand = async (name, i, seconds) => {
    await press(page, name);
    for (let left = seconds; left > 0; left -= 1) {
      if (left % 30 === 0) assert.equal(await page.locator(".count-down").innerText(), `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}`);
      await give(i);
    }
    await page.getByRole("button", { name, exact: true }).waitFor();
    assert.equal(await page.locator(".count-down").count(), 0);
  };
  const live = async () => Number((await page.locator(".live").innerText()).match(/^(\d+) fixes/)[1]);
  await feed(0, 5);
  await stand("Stand still here, 1:00", 4, 60);
  await press(page, "Intake");
  await feed(5, 60);
  await press(page, "It rises here");
  await press(page, "Stand still here, 3:00");
  await shot(page, "walk-stand");
  await sound(page, "a stop");
  for (let i = 0; i < 20; i += 1) await give(60);
  // Another view does not end the stop, and what is wrong with the walk is told there too.
  await page.evaluate(() => { location.hash = "#survey"; });
  await page.locator("h1", { hasText: "Your survey" }).waitFor();
  await sound(page, "another view while a walk is recorded");
  await pass(25_000);
  await page.getByRole("alert").getByText(/No fix for 0:2\d/).waitFor();
  await page.getByRole("link", { name: "A walk is recorded" }).click();
  await pass(180_000 - 46_000);
  await give(60);
  await page.getByRole("button", { name: "Stand still here, 3:00", exact: true }).waitFor();
  await feed(60, 120);
  // No fix for a while: told at once.
  await pass(25_000);
  await page.getByText(/No fix for 0:2\d/).waitFor();
  await shot(page, "walk-nofix");
  await feed(145, 180);
  await press(page, "Vent");
  // The phone is locked.
  await page.evaluate(() => window.hide(true));
  await pass(40_000);
  await page.evaluate(() => window.hide(false));
  await feed(200, 300);
  await press(page, "Powerhouse");
  await press(page, "End of this pass");
  await page.locator(".sum li", { hasText: "1 walk gives" }).waitFor();
  await page.locator(".sum li", { hasText: "With one more walk" }).waitFor();
  await page.locator("li", { hasText: /gap of 26 s .*no fix/ }).waitFor();
  await page.locator("li", { hasText: /gap of 41 s .*locked/ }).waitFor();
  await page.locator("li", { hasText: /In a stop of 60 s/ }).waitFor();
  await sound(page, "a walk");
  await shot(page, "walk-pass");
  await feed(299, 150);
  assert.equal(await live(), given.length);
  await until("a trail that is saved", async () => !(await page.locator(".live").innerText()).includes("not yet saved"));
  // Killed while it records, the last fix just given: that one may be lost, and no other.
  const before = given.length;
  await pass(1000);
  given.push(place(149));
  void page.evaluate((fix) => window.give(fix), given.at(-1)).catch(() => undefined);
  await kill();
  await launch();
  page = await open();
  await press(page, "record a walk");
  await page.locator(".kept", { hasText: "walk" }).first().click();
  await page.locator(".live", { hasText: /\d+ fixes/ }).waitFor();
  const after = await live();
  assert.ok(after >= before, `${before - after} fixes before the last were lost`);
  console.log(`killed while it recorded: ${before + 1} fixes given, ${after} kept`);
  given.length = after;
  // Storage that is full is told at once, and the walk goes on.
  await quota(page, 1);
  await press(page, "Go on with this walk");
  await feed(148, 145);
  await page.locator(".alarm", { hasText: "did not keep 4 of the fixes and marks" }).waitFor();
  await quota(page);
  await feed(145, 0);
  await press(page, "Intake");
  await press(page, "End of this pass");
  await page.locator(".sum li", { hasText: "walks give" }).waitFor();
  await feed(0, 296);
  await press(page, "Powerhouse");
  await press(page, "End of this pass");
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
  assert.deepEqual(names, ["intake", "rising section", "vent", "powerhouse"]);
  console.log(`the GPX holds the ${read.length} fixes that were given, in ${times.length} segments`);
  await shot(page, "walk-end");
  await press(page, "Use this walk");
  await page.locator("h1", { hasText: "Your survey" }).waitFor();
  await page.locator(".verdict .line").first().waitFor();
  await page.waitForFunction(() => !document.querySelector("[data-stale]"));
  await shot(page, "walk-used");
  // A second time it would be another pass of the site at hand: what all show is said first.
  await press(page, "Record another walk");
  await press(page, "Use this walk");
  await page.getByRole("button", { name: "Add it to this site" }).waitFor();
  // The way back to its marks, from a place beside the vent.
  await page.goBack();
  await press(page, "Back to a mark");
  await press(page, "Show the way");
  const [, lat, lon] = given[0];
  await page.evaluate(([t, a, b]) => window.give([t, a, b, 6, null, null]), [now, lat + 50 / 111_200, lon]);
  const first = page.locator(".places li").first();
  await first.waitFor();
  assert.match(await first.innerText(), /intake[^]*5\d m to the south/);
  assert.match(await page.locator(".hint").first().innerText(), /within 6 m.* north is up/);
  await sound(page, "the way back");
  await shot(page, "back");
  // The arrow turns with a phone that knows where it points.
  await page.evaluate(() => window.dispatchEvent(Object.assign(new Event("deviceorientationabsolute"), { alpha: 270, absolute: true })));
  await page.locator(".hint", { hasText: "turn with the phone" }).waitFor();
  assert.match(await first.locator("path").getAttribute("transform"), /rotate\((8\d|9\d)\)/);
  await pass(1600);
  await page.evaluate(([t, a, b]) => window.give([t, a, b, 6, null, null]), [now, lat, lon]);
  await page.locator(".places .here").waitFor();
  await page.close();
}

/** What `survey` says of a book: its check, its misclosure, the height of each station; or nothing where a set-up has not ended. */
const surveyed = (csv) => {
  const folder = mkdtempSync(join(tmpdir(), "book-"));
  try {
    writeFileSync(join(folder, "level-book.csv"), csv);
    const out = spawnSync(program, ["survey", "level-book.csv", "--json", "--taped", "slope"], { cwd: folder, encoding: "utf8" });
    if (out.status !== 0) {
      assert.match(out.stderr, /no reading after this backsight|ends with an intermediate sight/, csv);
      return undefined;
    }
    const told = JSON.parse(out.stdout);
    const remark = (start) => told.survey.remarks.map((r) => r.text).find((t) => t.startsWith(start));
    return { check: remark("arithmetic check"), misclosure: remark("the misclosure of the book"), heights: new Map(told.route.points.map((p) => [p.peg_station_m, p.elevation_m])) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const HEADS = { "Station, m": "station_m", "Backsight, m": "bs_m", "Intermediate sight, m": "is_m", "Foresight, m": "fs_m", "Elevation, m": "elevation_m", Point: "point" };
const asCsv = (rows) => [Object.values(HEADS), ...rows.map((r) => Object.keys(HEADS).map((k) => r[k] ?? ""))].map((r) => r.join(",")).join("\n") + "\n";

/** Readings as they are taken: so many set-ups down and as many back, the last to close within so much; a backsight is read after its instrument was carried on. */
const readings = (setups, misclosure) => {
  const mm = (v) => Math.round(v * 1000) / 1000;
  const out = [];
  let [height, station] = [100, 0];
  for (let i = 0; i < 2 * setups; i += 1) {
    const down = i < setups;
    const back = mm(down ? 0.5 + draw() : 3 + draw());
    const last = i === 2 * setups - 1;
    const fore = last ? mm(height + back - 100 - misclosure) : mm(down ? 3 + draw() : 0.5 + draw());
    if (i === 0) out.push({ add: { "Station, m": "0", "Backsight, m": back.toFixed(3), "Elevation, m": "100", Point: "A" }, height });
    else out.push({ to: { "Backsight, m": back.toFixed(3) }, height });
    const sight = height + back;
    for (let n = Math.floor(3 * draw()); down && n > 0; n -= 1) {
      const between = mm(back + draw() * (fore - back));
      station = mm(station + 5 + 5 * draw());
      out.push({ add: { "Station, m": String(station), "Intermediate sight, m": between.toFixed(3) }, height: sight - between });
    }
    if (down) station = mm(station + 5 + 9 * draw());
    height = sight - fore;
    out.push({ add: { "Foresight, m": fore.toFixed(3), ...(last ? { Point: "A" } : down ? { "Station, m": String(station) } : {}) }, height });
  }
  return out;
};

// The last site comes late, as on a slow phone: a book that was opened meanwhile stays open, with what is typed.
async function late() {
  const page = await open(390, 844, () => {
    const get = IDBObjectStore.prototype.get;
    IDBObjectStore.prototype.get = function (key) {
      const asked = get.call(this, key);
      if (this.name === "sites") Object.defineProperty(this.transaction, "oncomplete", { set: (come) => { window.siteComes = come; } });
      return asked;
    };
  });
  await press(page, "keep a book");
  await press(page, "Level book");
  const sight = page.getByLabel("Backsight, m", { exact: true });
  await sight.fill("1.234");
  await page.waitForFunction(() => window.siteComes);
  assert.equal(await page.getByRole("button", { name: "Another pipe" }).count(), 0);
  await page.evaluate(() => window.siteComes());
  await page.getByRole("button", { name: "Another pipe" }).waitFor();
  assert.equal(await sight.inputValue(), "1.234");
  await press(page, "Remove this book");
  await page.close();
}

async function book() {
  let page = await open();
  let compared = 0;
  // The walk's site is at hand again.
  await press(page, "Another pipe");
  const cell = (label) => page.getByLabel(label, { exact: true });
  const line = () => page.locator(".check-line p", { hasText: "arithmetic check" }).innerText();
  for (let n = 0; n < 5; n += 1) {
    // Each view stands before the next is asked for.
    await page.evaluate(() => { location.hash = "#survey"; });
    await press(page, "keep a book");
    await press(page, "Level book");
    await cell("Backsight, m").waitFor();
    const rows = [];
    for (const [step, { add, to, height }] of readings(2 + (n % 3), [-0.003, 0.002, 0, 0.004, -0.001][n]).entries()) {
      if (add) rows.push(add);
      else {
        // Back to the turning point's row, by its number.
        Object.assign(rows.at(-1), to);
        await press(page, `change row ${rows.length}`);
        await page.getByRole("button", { name: `Correct row ${rows.length}` }).waitFor();
      }
      if (n === 0 && step === 0) {
        // The first by the keypad alone.
        for (const [label, text] of Object.entries(add).filter(([l]) => l !== "Point")) {
          await cell(label).focus();
          for (const sign of text) await press(page, sign === "." ? "decimal point" : sign);
        }
        assert.equal(await cell("Backsight, m").inputValue(), add["Backsight, m"]);
        await cell("Point").fill("A");
        await sound(page, "the book");
        await shot(page, "book-first");
      } else for (const [label, text] of Object.entries(add ?? to)) await cell(label).fill(text);
      if (n % 2 === 1) await cell(Object.keys(add ?? to)[0]).press("Enter");
      else await press(page, to ? `Correct row ${rows.length}` : "Book the row");
      const [i, shown] = [rows.length - 1, height.toFixed(3)];
      const csv = asCsv(rows);
      const instrument = rows[i]["Backsight, m"] && (height + Number(rows[i]["Backsight, m"])).toFixed(3);
      await page.waitForFunction(([at, all]) => {
        const cells = [...(document.querySelectorAll("tbody tr")[at]?.querySelectorAll(".carried") ?? [])].map((c) => c.textContent);
        return all.every((t) => cells.includes(t));
      }, [i, instrument ? [shown, instrument] : [shown]]);
      await page.waitForFunction(() => document.querySelector(".bar").hidden);
      // The check of the page, by hand: backsights less the last readings is the change of height.
      assert.ok((await line()).endsWith(`Last height minus first height is ${(height - 100 + 0).toFixed(3).replace("-0.000", "0.000")} m`), `${await line()}: ${height}`);
      assert.match(await page.locator(".carry").innerText(), new RegExp(`^row ${i + 1},.* elevation ${shown}`), "the carry is on screen");
      // What `survey` says of the same sheet; of a set-up that has not ended, it wants the end, and the page says what it waits for.
      const told = surveyed(csv);
      const waits = await page.getByText("This set-up waits for its foresight.").count();
      assert.equal(waits, told ? 0 : 1, csv);
      if (i === 0) continue;
      const ended = told ?? surveyed(asCsv([...rows.slice(0, -1), { ...rows[i], "Intermediate sight, m": "", "Backsight, m": "", "Foresight, m": rows[i]["Foresight, m"] ?? rows[i]["Intermediate sight, m"] }]));
      if (!ended) continue;
      if (told) assert.equal(await line(), told.check, "the page and `survey` check alike");
      const carried = await page.evaluate(() => {
        const heads = [...document.querySelectorAll("thead th")].map((t) => t.textContent);
        return [...document.querySelectorAll("tbody tr")].map((r) => [...r.children].map((c) => c.textContent)).map((r) => [r[heads.indexOf("Station, m")], r[heads.indexOf("elevation")]]);
      });
      if (ended.misclosure) await page.locator(".said", { hasText: ended.misclosure }).waitFor();
      // A loop that closes is adjusted by `survey`; until then each height is the carried one.
      else for (const [at, elevation] of carried.filter(([at]) => at !== "")) assert.equal(elevation, ended.heights.get(Number(at))?.toFixed(3), `station ${at} of\n${csv}`);
      compared += 1;
    }
    await page.locator(".check-line.holds").waitFor();
    await shot(page, `book-${n}`);
    if (n > 0) continue;
    // A row that breaks the rules is told at once, and is put right.
    await cell("Backsight, m").fill("14.25");
    await press(page, "Book the row");
    await page.locator(".told", { hasText: `row ${rows.length + 1}: the staff reading 14.250 m is more than the length of the staff` }).waitFor();
    assert.equal(await page.locator("tr.wrong").count(), 1);
    await sound(page, "a wrong row");
    await shot(page, "book-wrong");
    await press(page, "Remove the last row");
    await page.locator("tr.wrong").waitFor({ state: "detached" });
    // A row booked, the next half typed, and the browser is killed: what was on the disk is there again.
    await cell("Backsight, m").fill("1.5");
    await until("the row that is typed", async () => (await stored(page, "books")).some((b) => b.draft.includes("1.5")));
    await cell("Foresight, m").fill("0.7");
    await kill();
    await launch();
    page = await open();
    await quota(page, 1);
    // By its address: the site that was put away last may be at hand again, if the browser was killed before it wrote that down.
    await page.evaluate(() => { location.hash = "#book"; });
    await page.locator(".kept", { hasText: `level-book.csv, ${rows.length} rows` }).click();
    await cell("Backsight, m").waitFor();
    assert.equal(await cell("Backsight, m").inputValue(), "1.5");
    assert.equal(await page.locator("tbody tr").count(), rows.length);
    await cell("Backsight, m").fill("");
    await cell("Foresight, m").fill("");
    // Storage that is full is told at the row.
    await cell("Remark").fill("by the old wall");
    await page.locator(".alarm", { hasText: "did not keep the last row" }).waitFor();
    await quota(page);
    await cell("Remark").fill("");
    await page.locator(".alarm", { hasText: "did not keep" }).waitFor({ state: "detached" });
    const csv = await saved(page, "Save the CSV", "level-book.csv");
    assert.equal(csv, asCsv(rows).split("\n").map((l, i) => l && l + (i === 0 ? ",setup,remark" : ",,")).join("\n"));
    await press(page, "Use this book");
    await page.locator(".verdict .line, .told").first().waitFor();
    await press(page, "Another pipe");
  }
  console.log(`the books: ${compared} times the page and \`survey\` gave the same sums`);
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
    await page.locator(".carry", { hasText: `row ${i + 1}, elevation ${height.toFixed(3)}` }).waitFor();
  }
  await page.locator(".said", { hasText: "does not close on a known height" }).waitFor();
  await sound(page, "the legs");
  await shot(page, "legs");
  await page.close();
}

async function gauge() {
  const page = await open();
  await press(page, "try the sample");
  await page.locator(".verdict .line").first().waitFor();
  // The first answer stands, and nothing is computed still.
  await page.waitForFunction(() => location.hash === "#answer" && !document.querySelector("[data-stale], .bar:not([hidden])"));
  // What is tried is computed once the hand rests for 150 ms, and greyed until then.
  const nozzle = page.locator("[data-at='turbine.0.nozzle_diameter'] input");
  for (const size of ["8.5 mm", "8 mm"]) {
    await nozzle.fill(size);
    await nozzle.press("Enter");
    await page.locator("[data-stale][aria-busy]").waitFor();
    await pass(100);
    assert.equal(await page.locator(".bar").first().isVisible(), false, "computed before the hand rests");
  }
  await pass(200);
  await page.locator(".figures .was").first().waitFor();
  await page.waitForFunction(() => !document.querySelector("[data-stale]"));
  await press(page, "A gauge reading");
  const pressure = page.getByLabel(/^Pressure/);
  for (const [state, figure] of [["all jets", "690"], ["shut", "770"], ["all jets", "689"]]) {
    await pressure.waitFor();
    await pressure.focus();
    for (const sign of figure) await press(page, sign);
    // Two taps: the state, and to keep it.
    await press(page, state);
    await press(page, "Keep the reading");
    await page.waitForFunction(() => document.querySelector("#pressure")?.value === "");
  }
  await page.locator("output", { hasText: /^3$/ }).waitFor();
  await page.waitForFunction(() => document.querySelector(".bar")?.hidden !== false);
  await page.locator(".shown p").first().waitFor();
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

// A walk and a book without a pointer; the focus is never lost, and what changes is said.
async function keyboard() {
  const page = await open(320);
  const focused = () => page.evaluate(() => (document.activeElement?.getAttribute("aria-label") ?? document.activeElement?.textContent ?? "").trim());
  const reach = async (name) => {
    for (let i = 0; i < 60; i += 1) {
      if ((await focused()) === name) return;
      await page.keyboard.press("Tab");
    }
    assert.fail(`"${name}" is not reached by the keyboard; the focus is on "${await focused()}"`);
  };
  const enter = async (name) => {
    await page.getByRole("button", { name, exact: true }).or(page.getByRole("link", { name, exact: true })).waitFor();
    await reach(name);
    await page.keyboard.press("Enter");
  };
  const give = async (n) => {
    for (let i = 0; i < n; i += 1) {
      await pass(1000);
      await page.evaluate(([t, k]) => window.give([t, 46.1 - k / 111_200, -30.5, 5, 500 - 0.12 * k, 6]), [now, i]);
    }
  };
  const status = (text) => page.getByRole("status").getByText(text, { exact: true }).waitFor();
  await enter("Another pipe");
  await enter("record a walk");
  await enter("Start the walk");
  await page.getByRole("button", { name: "End of this pass" }).waitFor();
  assert.equal(await focused(), "Intake");
  await give(5);
  await page.keyboard.press("Space");
  await status("Intake, 1");
  await enter("Stand still here, 1:00");
  assert.equal(await focused(), "End the stop");
  await give(60);
  await status("The stop is over.");
  assert.equal(await focused(), "Stand still here, 1:00");
  await enter("Stop the walk");
  assert.equal(await focused(), "Go on with this walk");
  await enter("Remove this walk");
  await enter("Your survey");
  await enter("keep a book");
  await enter("Level book");
  for (const [i, row] of [["0", "1.2", "", "", "100"], ["8", "", "", "2.5"]].entries()) {
    await until("the first field", async () => page.evaluate(() => document.activeElement?.labels?.[0]?.textContent === "Station, m"));
    for (const figure of row) {
      await page.keyboard.type(figure);
      await page.keyboard.press("Tab");
    }
    await page.keyboard.press("Enter");
    await page.locator(".carry", { hasText: `row ${i + 1},` }).waitFor();
  }
  await page.locator(".carry", { hasText: "elevation 98.700" }).waitFor();
  await enter("change row 2");
  await until("the row to correct", async () => page.evaluate(() => document.activeElement?.value === "8"));
  await enter("Remove the last row");
  await page.locator("tbody tr").nth(1).waitFor({ state: "detached" });
  await enter("Remove this book");
  await page.getByRole("button", { name: "Level book" }).waitFor();
  await page.close();
}

/** The guide's first day with the page alone was walked as it is written: every button that it names was pressed. */
const guided = () => {
  const guide = readFileSync("docs/guide.md", "utf8");
  const [, section] = guide.match(/\n## A first day with the page alone\n([^]*?)\n## /);
  const named = [...section.matchAll(/"([^"]+)"/g)].map((m) => m[1]);
  assert.ok(named.length > 8);
  const missing = named.filter((name) => ![...pressed].some((p) => p.startsWith(name)));
  assert.deepEqual(missing, [], "the guide names what was not pressed");
};

try {
  await launch();
  await walk();
  await late();
  await book();
  await legs();
  await gauge();
  await keyboard();
  guided();
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
