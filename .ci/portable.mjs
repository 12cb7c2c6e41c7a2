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
const module = new WebAssembly.Module(readFileSync(program));
const status = wasi.start(new WebAssembly.Instance(module, wasi.getImportObject()));
closeSync(stdout);
if (status !== 0) {
  console.error(`${folder}: ${args.join(" ")}: exit ${status}`);
  process.exitCode = 1;
}
