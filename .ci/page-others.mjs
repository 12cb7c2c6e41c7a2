// The page in another engine, from disk: page-others.mjs FOLDER PAGE firefox|webkit. Driven by script, so the browser's own ways of pressing and choosing are not tried.
import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { createRequire } from "node:module";
import { join } from "node:path";

const [, , work, file, engine] = process.argv;
const url = "file://" + file;
const pause = (ms) => new Promise((done) => setTimeout(done, ms));

// Each engine comes down to three deeds: go somewhere, ask for a value, close.
async function firefox() {
  const puppeteer = createRequire(join(work, "package.json"))("puppeteer-core");
  const browser = await puppeteer.launch({ browser: "firefox", executablePath: process.env.FIREFOX ?? "/usr/bin/firefox-esr", headless: true });
  const page = await browser.newPage();
  return { go: () => page.goto(url), ask: (code) => page.evaluate(code), close: () => browser.close() };
}

async function webkit() {
  const port = 4567;
  const driver = spawn("WebKitWebDriver", [`--port=${port}`], { stdio: "ignore" });
  const send = async (method, path, body) => {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`, { method, body: body && JSON.stringify(body) });
    const said = (await answer.json()).value;
    if (said?.error) throw new Error(said.message);
    return said;
  };
  for (let i = 0; ; i += 1) {
    try {
      await send("GET", "/status");
      break;
    } catch (why) {
      if (i > 50) throw why;
      await pause(200);
    }
  }
  const made = await send("POST", "/session", { capabilities: { alwaysMatch: { "webkitgtk:browserOptions": { binary: process.env.WEBKIT, args: ["--automation"] } } } });
  const base = `/session/${made.sessionId}`;
  await send("POST", `${base}/timeouts`, { script: 120_000 });
  return {
    go: () => send("POST", `${base}/url`, { url }),
    ask: (code) => send("POST", `${base}/execute/sync`, { script: `return (${code});`, args: [] }),
    close: async () => {
      await send("DELETE", base).catch(() => undefined);
      driver.kill();
    },
  };
}

const browser = await (engine === "webkit" ? webkit() : firefox());
const { ask } = browser;
const until = async (code, what, most = 120_000) => {
  for (const began = Date.now(); Date.now() - began < most; await pause(200)) if (await ask(code)) return;
  throw new Error(`${engine}: ${what} did not come; the page says: ${await ask("document.querySelector('main').innerText.slice(0, 400)")}`);
};
const press = async (name) => {
  const found = `[...document.querySelectorAll("button")].find((b) => b.checkVisibility() && (b.textContent === ${JSON.stringify(name)} || b.getAttribute("aria-label") === ${JSON.stringify(name)}))`;
  await until(`!!${found}`, `the button "${name}"`);
  await ask(`(${found}.click(), true)`);
};
const type = (label, text) => ask(`(() => { const input = document.getElementById([...document.querySelectorAll("label")].find((l) => l.textContent === ${JSON.stringify(label)}).htmlFor); input.value = ${JSON.stringify(text)}; input.dispatchEvent(new Event("input", { bubbles: true })); return true; })()`);

try {
  await browser.go();
  console.log(`${engine}: ${await ask("navigator.userAgent")}`);
  await ask(`(() => { let ok; window.give = (f) => ok?.({ timestamp: f[0], coords: { latitude: f[1], longitude: f[2], accuracy: f[3], altitude: f[4], altitudeAccuracy: null } }); Object.defineProperty(navigator, "geolocation", { value: { watchPosition: (f) => { ok = f; return 1; }, clearWatch: () => {} }, configurable: true }); return true; })()`);
  // A whole check, and its report.
  await press("try the sample");
  await until(`location.hash === "#answer" && !!document.querySelector(".verdict .line") && !document.querySelector("[data-stale]")`, "the answer");
  assert.ok((await ask("document.querySelectorAll('.figures div').length")) > 2);
  await press("The report");
  await until(`!!document.querySelector("iframe.report")?.contentDocument?.querySelector("h1")`, "the report");
  await ask("(history.back(), true)");
  await press("Another pipe");
  // A walk: kept fix by fix.
  await press("record a walk");
  await press("Start the walk");
  await until(`[...document.querySelectorAll("button")].some((b) => b.textContent === "Stop the walk")`, "the recording");
  await ask(`(() => { for (let i = 0; i < 120; i += 1) window.give([Date.now() - 120000 + 1000 * i, 46.1 - i / 111200, -30.5, 5, 500 - 0.12 * i]); return true; })()`);
  await press("Stop the walk");
  await until(`!!document.querySelector(".sum li")`, "the sum of the walk");
  assert.match(await ask("document.querySelector('.live').innerText"), /^120 fixes/);
  // A book: its carry and its check.
  await ask(`(location.hash = "#book", true)`);
  await press("Level book");
  await until(`[...document.querySelectorAll("label")].some((l) => l.textContent === "Backsight, m")`, "the book");
  for (const [row, height] of [[{ "Station, m": "0", "Backsight, m": "1.200" }, "100.000"], [{ "Station, m": "10", "Foresight, m": "2.500" }, "98.700"]]) {
    for (const [label, text] of Object.entries(row)) await type(label, text);
    await press("Book the row");
    await until(`document.querySelector(".carry")?.textContent.includes("elevation ${height}")`, `the carry to ${height}`);
  }
  // Kept when the page is opened again.
  await browser.go();
  await ask(`(location.hash = "#book", true)`);
  await until(`[...document.querySelectorAll(".kept")].some((b) => b.textContent.includes("2 rows"))`, "the book that was kept");
  await ask(`(location.hash = "#walk", true)`);
  await until(`[...document.querySelectorAll(".kept")].some((b) => b.textContent.includes("walk"))`, "the walk that was kept");
  await until(`document.documentElement.scrollWidth <= innerWidth`, "a page that fits");
  console.log(`${engine}: the page holds`);
} finally {
  await browser.close();
}
