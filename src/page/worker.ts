// Runs the program: a fresh instance for each run, in a folder of its own in memory.
import { ConsoleStdout, Directory, File, Inode, OpenFile, PreopenDirectory, WASI } from "@bjorn3/browser_wasi_shim";
import type { Named, Order, Word } from "./wire";

declare const self: { postMessage(word: Word, hand?: Transferable[]): void; onmessage: ((e: MessageEvent<Order>) => void) | null };

const STAGE = "\u0001";
let program: Promise<WebAssembly.Module> | undefined;

self.onmessage = (event) => {
  const order = event.data;
  if (order.kind === "load") {
    program = order.module ? Promise.resolve(order.module) : unpacked(order.packed ?? "");
    program.then(
      (module) => self.postMessage({ kind: "ready", module }),
      (why: unknown) => self.postMessage({ kind: "broken", id: 0, why: String(why), memory: why instanceof RangeError }),
    );
  } else {
    void run(order.id, order.args, order.files);
  }
};

async function unpacked(text: string): Promise<WebAssembly.Module> {
  const letters = atob(text);
  const packed = new Uint8Array(letters.length);
  for (let i = 0; i < letters.length; i += 1) packed[i] = letters.charCodeAt(i);
  // Written by hand: some browsers read no blob's stream in a worker of a page from disk.
  const unpack = new DecompressionStream("gzip");
  const writer = unpack.writable.getWriter();
  void writer.write(packed).then(() => writer.close());
  return WebAssembly.compile(await new Response(unpack.readable).arrayBuffer());
}

async function run(id: number, args: string[], files: Named[]): Promise<void> {
  let err = "";
  try {
    const module = await program;
    if (!module) throw new Error("no program");
    const before = new Map<Inode, string>();
    const root = new Map<string, Inode>();
    for (const { path, bytes } of files) put(root, path, bytes, before);
    const out: Uint8Array[] = [];
    const decoder = new TextDecoder();
    const stdin = new OpenFile(new File([]));
    const stdout = new ConsoleStdout((bytes) => void out.push(bytes.slice()));
    const stderr = ConsoleStdout.lineBuffered((line) => {
      if (line.startsWith(STAGE)) self.postMessage({ kind: "stage", id, stage: line.slice(STAGE.length) });
      else err += line + "\n";
    });
    const env = ["NO_COLOR=1", "STEADYFALL_STAGES=" + STAGE];
    const wasi = new WASI(["steadyfall", ...args], env, [stdin, stdout, stderr, new PreopenDirectory(".", root)], { debug: false });
    wasi.wasiImport.args_sizes_get = (count: number, size: number): number => sized(wasi, count, size);
    const instance = await WebAssembly.instantiate(module, { wasi_snapshot_preview1: wasi.wasiImport });
    const status = wasi.start(instance as unknown as Parameters<typeof wasi.start>[0]);
    const text = out.map((bytes) => decoder.decode(bytes, { stream: true })).join("") + decoder.decode();
    const written: Named[] = [];
    take(root, "", before, written);
    self.postMessage({ kind: "done", id, status, out: text, err, files: written }, written.map((f) => f.bytes.buffer));
  } catch (why) {
    const memory = why instanceof RangeError || /memory allocation/.test(err);
    self.postMessage({ kind: "broken", id, why: (err || String(why)).slice(0, 2000), memory });
  }
}

/** How long the arguments are, in bytes: the shim counts letters, and a file may have any name. */
function sized(wasi: WASI, count: number, size: number): number {
  const view = new DataView(wasi.inst.exports.memory.buffer);
  view.setUint32(count, wasi.args.length, true);
  view.setUint32(size, wasi.args.reduce((sum, arg) => sum + new TextEncoder().encode(arg).length + 1, 0), true);
  return 0;
}

function put(root: Map<string, Inode>, path: string, bytes: Uint8Array, before: Map<Inode, string>): void {
  const names = path.split("/");
  const name = names.pop() ?? "";
  let folder = root;
  for (const step of names) {
    const next = folder.get(step) ?? new Directory(new Map());
    folder.set(step, next);
    if (!(next instanceof Directory)) return;
    folder = next.contents;
  }
  const file = new File(bytes);
  before.set(file, path);
  folder.set(name, file);
}

/** What the run wrote: every file that was not handed in as it stands. */
function take(folder: Map<string, Inode>, above: string, before: Map<Inode, string>, out: Named[]): void {
  for (const [name, node] of folder) {
    const path = above + name;
    if (node instanceof Directory) take(node.contents, path + "/", before, out);
    else if (node instanceof File && before.get(node) !== path) out.push({ path, bytes: node.data.slice() as Uint8Array<ArrayBuffer> });
  }
}
