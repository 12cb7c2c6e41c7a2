// Puts the page together: build.mjs PROGRAM.wasm FOLDER. Run by build.sh in a temporary folder.
import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { WASI } from "node:wasi";
import { gzipSync } from "node:zlib";
import { build, transform } from "esbuild";

const [, , program, out] = process.argv;
const here = (name) => join(import.meta.dirname, name);
const text = (name) => readFileSync(here(name), "utf8");
const hash = (code) => `'sha256-${createHash("sha256").update(code).digest("base64")}'`;

// What the report runs and how it looks is the program's: it is asked for a report, and the page allows that script and style, and no other.
async function report() {
  const folder = mkdtempSync(join(tmpdir(), "report-"));
  const wasi = new WASI({ version: "preview1", args: ["steadyfall", "demo", "--out", "r", "--quiet"], env: {}, preopens: { ".": folder }, returnOnExit: true });
  const instance = await WebAssembly.instantiate(await WebAssembly.compile(readFileSync(program)), wasi.getImportObject());
  if (wasi.start(instance) !== 0) throw new Error("the program does not run");
  const page = readFileSync(join(folder, "r", "report.html"), "utf8");
  const of = (tag) => [...page.matchAll(new RegExp(`<${tag}>([^]*?)</${tag}>`, "g"))].map((m) => m[1]);
  return { scripts: of("script"), styles: of("style") };
}

async function bundled(entry, define) {
  const built = await build({ entryPoints: [here(entry)], bundle: true, minify: true, format: "iife", target: ["es2022"], write: false, define, legalComments: "none" });
  return built.outputFiles[0].text.trim();
}

function licences() {
  const own = ["@bjorn3/browser_wasi_shim/LICENSE-MIT", "fflate/LICENSE"].map((name) => `${name.replace(/\/LICENSE.*/, "")}\n\n${text(join("node_modules", name)).trim()}`);
  const { packages, resolve } = JSON.parse(text("metadata.json"));
  const used = new Set(resolve.nodes.map((n) => n.id));
  const crates = packages.filter((p) => used.has(p.id) && p.source).map((p) => `${p.name} ${p.version}: ${p.license}`);
  return [...own, `The program is made with these packages:\n\n${crates.sort().join("\n")}`].join("\n\n----\n\n").replaceAll("</script", "<\\/script");
}

const worker = await bundled("worker.ts", {});
const script = (await bundled("main.ts", { WORKER: JSON.stringify(worker) })).replaceAll("</script", "<\\/script");
const style = (await transform(text("style.css"), { loader: "css", minify: true })).code.trim();
const shown = await report();
const icon = text("icon.svg").replace(/\s*\n\s*/g, "");
const packed = gzipSync(readFileSync(program), { level: 9, memLevel: 9 });
const policy = [
  "default-src 'none'",
  `script-src ${[script, ...shown.scripts].map(hash).join(" ")} 'wasm-unsafe-eval'`,
  `style-src ${[style, ...shown.styles].map(hash).join(" ")}`,
  // The report sets a margin here and there in an attribute; nothing can be fetched by that.
  "style-src-attr 'unsafe-inline'",
  "worker-src blob: 'self'",
  "img-src data:",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
].join("; ");
const parts = {
  POLICY: policy,
  STYLE: style,
  ICON: `data:image/svg+xml,${encodeURIComponent(icon)}`,
  LICENCES: licences(),
  PROGRAM: packed.toString("base64"),
  SCRIPT: script,
};
const page = text("shell.html").replace(/@@([A-Z]+)@@/g, (_, name) => parts[name]);
const version = createHash("sha256").update(page).digest("hex").slice(0, 16);
writeFileSync(join(out, "index.html"), page);
writeFileSync(join(out, "sw.js"), text("sw.js").replace("@@VERSION@@", version));
writeFileSync(join(out, "manifest.webmanifest"), text("manifest.webmanifest"));
writeFileSync(join(out, "icon.svg"), text("icon.svg"));
console.log(`the page: ${page.length} bytes (program ${readFileSync(program).length}, packed ${packed.length}, as text ${parts.PROGRAM.length}; script ${script.length}, style ${style.length}, licences ${parts.LICENCES.length})`);
