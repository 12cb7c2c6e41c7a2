// The sheets drawn by two renderers that share no code, Chromium and librsvg: they must look alike, block by block. See browser.sh.
import assert from "node:assert/strict";
import { createRequire } from "node:module";
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const [work, ...files] = process.argv.slice(2);
const require = createRequire(join(work, "package.json"));
const { chromium } = require("playwright-core");
const { PNG } = require("pngjs");
const own = mkdtempSync(join(tmpdir(), "sheet-"));
const browser = await chromium.launchPersistentContext(own, {
  executablePath: process.env.CHROMIUM,
  headless: true,
  args: ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--force-device-scale-factor=1"],
});

// Mean lightness of blocks: edges fall on other pixels in each renderer, and each has its own type; what stands where is the same.
const BLOCK = 12;
const blocks = (png) => {
  const [across, down] = [Math.floor(png.width / BLOCK), Math.floor(png.height / BLOCK)];
  const out = new Float64Array(across * down);
  for (let y = 0; y < down * BLOCK; y += 1) {
    for (let x = 0; x < across * BLOCK; x += 1) {
      const i = 4 * (y * png.width + x);
      const light = (0.2126 * png.data[i] + 0.7152 * png.data[i + 1] + 0.0722 * png.data[i + 2]) / 255;
      const alpha = png.data[i + 3] / 255;
      out[Math.floor(y / BLOCK) * across + Math.floor(x / BLOCK)] += (light * alpha + 1 - alpha) / (BLOCK * BLOCK);
    }
  }
  return out;
};
const apart = (a, b) => {
  const off = Array.from(a, (v, i) => Math.abs(v - b[i]));
  return { mean: off.reduce((s, v) => s + v, 0) / off.length, far: off.filter((v) => v > 0.2).length / off.length, ink: Array.from(a).filter((v) => v < 0.98).length / a.length };
};

try {
  for (const file of files) {
    const text = readFileSync(join(work, file), "utf8");
    const size = (name) => Math.round((4 * 96 / 25.4 / 2) * Number(new RegExp(`<svg[^>]*\\b${name}="([\\d.]+)mm"`).exec(text)[1]));
    const [width, height] = [size("width"), size("height")];
    const page = await browser.newPage();
    await page.setViewportSize({ width, height });
    const svg = text.replace(/ width="[\d.]+mm"/, "").replace(/ height="[\d.]+mm"/, "");
    await page.setContent(`<style>body{margin:0}svg{display:block;width:${width}px;height:${height}px}</style>${svg.slice(svg.indexOf("<svg"))}`);
    const one = PNG.sync.read(await page.screenshot());
    await page.close();
    const two = PNG.sync.read(execFileSync("rsvg-convert", ["-w", String(width), "-h", String(height), join(work, file)], { maxBuffer: 1 << 28 }));
    assert.deepEqual([two.width, two.height], [one.width, one.height], file);
    const [a, b] = [blocks(one), blocks(two)];
    const { mean, far, ink } = apart(a, b);
    console.log(`${file}: blocks part by ${(100 * mean).toFixed(2)} % of lightness, ${(100 * far).toFixed(2)} % of them by more than a fifth`);
    assert.ok(ink > 0.05, file + " is blank");
    assert.ok(mean < 0.004 && far < 0.001, file + " looks another way in the second renderer");
    // The measure itself can tell: a sheet moved by two blocks is another sheet.
    const other = apart(a, a.map((_, i) => a[Math.max(0, i - 2)]));
    assert.ok(other.mean > 0.006 && other.far > 0.002, `${file}: the measure tells nothing: ${other.mean}, ${other.far}`);
  }
} finally {
  await browser.close();
  rmSync(own, { recursive: true, force: true });
}
