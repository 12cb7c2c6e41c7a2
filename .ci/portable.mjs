// Runs the program as a browser holds it (WASI preview 1) over the same runs as the native one: portable.mjs PROGRAM.wasm FOLDER RUNS
// RUNS has a run a line: the folder to stand in, then the arguments, by tabs. Standard output goes to out.txt there. One compilation serves all.
import { closeSync, openSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { WASI } from "node:wasi";

const [, , program, root, runs] = process.argv;
const module = new WebAssembly.Module(readFileSync(program));
for (const line of readFileSync(runs, "utf8").split("\n").filter(Boolean)) {
  const [folder, ...args] = line.split("\t");
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
  const instance = new WebAssembly.Instance(module, wasi.getImportObject());
  const status = wasi.start(instance);
  closeSync(stdout);
  if (status !== 0) {
    console.error(`${folder}: ${args.join(" ")}: exit ${status}`);
    process.exitCode = 1;
  }
}
