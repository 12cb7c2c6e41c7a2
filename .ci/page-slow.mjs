// How long somebody waits on a phone: page-slow.mjs FOLDER PAGE [TIMES]. The browser, all its processes and threads, is stopped for all but a share of the time,
// as if every thread ran so many times slower (what the browser's own slowing leaves out is the worker that the program runs in). By hand, on a machine that does nothing else; see docs/speed.md.
import { createRequire } from "node:module";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Worker, isMainThread, workerData } from "node:worker_threads";

/** How long the threads that the program runs in stood ready while something else of this machine had the processor, s. */
function kept(pids) {
  let ns = 0;
  for (const pid of pids) {
    try {
      for (const task of readdirSync(`/proc/${pid}/task`)) {
        const at = `/proc/${pid}/task/${task}`;
        if (readFileSync(`${at}/comm`, "utf8").startsWith("DedicatedWorker")) ns += Number(readFileSync(`${at}/schedstat`, "utf8").split(" ")[1]);
      }
    } catch {
      // Gone meanwhile.
    }
  }
  return ns / 1e9;
}

/** Every process below this one that bears the name. */
function processes(root, name) {
  const parent = new Map();
  for (const pid of readdirSync("/proc").filter((n) => /^\d+$/.test(n))) {
    try {
      const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
      parent.set(Number(pid), Number(stat.slice(stat.lastIndexOf(")") + 2).split(" ")[1]));
    } catch {
      // Gone meanwhile.
    }
  }
  const below = (pid) => pid === root || (parent.has(pid) && below(parent.get(pid)));
  return [...parent.keys()].filter((pid) => pid !== root && below(pid)).filter((pid) => {
    try {
      return readFileSync(`/proc/${pid}/cmdline`, "utf8").includes(name);
    } catch {
      return false;
    }
  });
}

if (!isMainThread) {
  // Lets the browser run for 10 ms of each 10 ms times TIMES.
  const { root, name, times, shared } = workerData;
  const flag = new Int32Array(shared);
  const rest = (ms) => Atomics.wait(flag, 1, 0, ms);
  const all = (pids, signal) => pids.forEach((pid) => { try { process.kill(pid, signal); } catch { /* ended */ } });
  let pids = [];
  for (let n = 0; Atomics.load(flag, 0) === 0; n += 1) {
    if (n % 10 === 0) pids = processes(root, name);
    const began = process.hrtime.bigint();
    all(pids, "SIGCONT");
    rest(10);
    all(pids, "SIGSTOP");
    rest((Number(process.hrtime.bigint() - began) / 1e6) * (times - 1));
  }
  all(processes(root, name), "SIGCONT");
} else {
  const [, , work, file, times = "6"] = process.argv;
  const { chromium } = createRequire(join(work, "package.json"))("playwright-core");
  const long = 600_000;
  const own = mkdtempSync(join(tmpdir(), "slow-"));
  const slowed = (n) => {
    const shared = new SharedArrayBuffer(8);
    const worker = new Worker(new URL(import.meta.url), { workerData: { root: process.pid, name: own, times: n, shared } });
    return () => new Promise((done) => {
      worker.once("exit", done);
      Atomics.store(new Int32Array(shared), 0, 1);
    });
  };
  // From the choice to the first verdict that stands, by the clock of the page.
  const watch = () => {
    window.begun = 0;
    window.ended = 0;
    const begin = () => { window.begun = performance.now(); window.ended = 0; };
    addEventListener("change", begin, true);
    addEventListener("click", (e) => e.target.textContent === "try the sample" && begin(), true);
    addEventListener("DOMContentLoaded", () => new MutationObserver(() => {
      if (window.begun && !window.ended && document.querySelector(".verdict .line") && !document.querySelector("[data-stale]")) window.ended = performance.now();
    }).observe(document.documentElement, { subtree: true, childList: true, attributes: true }));
  };
  for (const rate of [1, Number(times)]) {
    const browser = await chromium.launchPersistentContext(own, { executablePath: process.env.CHROMIUM, headless: true, args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"] });
    browser.setDefaultTimeout(long);
    await browser.addInitScript(watch);
    const end = slowed(rate);
    try {
      const page = await browser.newPage();
      const waited = async (what, deed) => {
        const before = kept(processes(process.pid, own));
        await deed();
        await page.waitForFunction(() => window.ended > 0, undefined, { polling: 50 });
        const lost = kept(processes(process.pid, own)) - before;
        const clock = (await page.evaluate(() => window.ended - window.begun)) / 1000;
        // What a stopped thread waits cannot be told from what it stands stopped: only at full speed it can be taken off.
        console.log(`${rate} times slower, ${what}: ${clock.toFixed(2)} s${rate === 1 ? `, ${(clock - lost).toFixed(2)} s of it not kept waiting by other work` : ""}`);
      };
      const sample = () => page.getByRole("button", { name: "try the sample" }).click();
      const choose = () => page.locator("input[type=file]").first().setInputFiles(join("sample-surveys", "otter-gill", "walk.gpx"));
      const another = async () => {
        await page.getByRole("button", { name: "Another pipe" }).click();
        await page.getByRole("button", { name: "Select files" }).waitFor();
      };
      await page.goto("file://" + file);
      await page.getByRole("button", { name: "Select files" }).waitFor();
      console.log(`${rate} times slower, the page opened until it asks: ${await page.evaluate(() => (performance.now() / 1000).toFixed(2))} s`);
      await waited("the walk, chosen at once", choose);
      await another();
      await waited("the walk again", choose);
      await another();
      await waited("the whole sample", sample);
      await another();
      await waited("the whole sample again", sample);
      await page.evaluate(() => localStorage.clear());
      await page.reload();
      await page.getByRole("button", { name: "try the sample" }).waitFor();
      await waited("the whole sample, the page just opened", sample);
    } finally {
      await end();
      await browser.close();
    }
    rmSync(own, { recursive: true, force: true });
  }
}
