// Runs the program as a browser holds it (WASI preview 1): portable.mjs PROGRAM.wasm FOLDER RUN
// RUN is the folder to stand in, then the arguments, by tabs, as the native program has them. Standard output goes to out.txt there.
import { closeSync, openSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { WASI } from "node:wasi";

const [, , program, root, run] = process.argv;
const [folder, ...args] = run.split("\t");
const at = join(root, folder);
const stdout = openSync(join(at, "out.txt"), "w");
const wasi = new WASI({
  version: "preview1",
  args: ["steadyfall", ...args],
  env: { NO_COLOR: "1", COLUMNS: "96" },
  preopens: { ".": at },
  stdout,
  returnOnExit: true,
});
// The runtime collects its rubbish inside its own calls, dies of it where the program holds them bare (half of all runs), and frees an object that
// nothing else holds: so a function stands before each call, and the object is held.
globalThis.held = wasi;
const calls = Object.entries(wasi.wasiImport).map(([name, call]) => [name, (...words) => call(...words)]);
const imports = { wasi_snapshot_preview1: Object.fromEntries(calls) };
const module = new WebAssembly.Module(readFileSync(program));
const status = wasi.start(new WebAssembly.Instance(module, imports));
closeSync(stdout);
if (status !== 0) {
  console.error(`${folder}: ${args.join(" ")}: exit ${status}`);
  process.exitCode = 1;
}
