// The program from the page's side: one run at a time; what is not wanted any more is stopped by ending its worker.
import type { Named, Order, Word } from "./wire";

declare const WORKER: string;

/** What was wrong, as the program tells it. */
export interface Fault {
  place: { file?: string; line?: number; column?: number; key?: string };
  text: string;
  found?: string;
  expected?: string;
  do?: string;
  /** The key of the site file that would settle it. */
  asks?: string;
  choices?: string[];
  line?: string;
}

/** How a run ended. */
export interface Ran {
  status: number;
  out: string;
  faults: Fault[];
  files: Named[];
}

/** A run that was stopped by the user. */
export class Stopped extends Error {}

/** A run that something newer made needless. */
export class Overtaken extends Error {}

interface Waiting {
  id: number;
  judges: boolean;
  done: (ran: Ran) => void;
  failed: (why: Error) => void;
  stage: (stage: string) => void;
}

let worker: Worker | undefined;
let compiled: WebAssembly.Module | undefined;
let waiting: Waiting | undefined;
let last = 0;
let turn: Promise<unknown> = Promise.resolve();

/** Begins to unpack and compile the program before anybody asks. */
export function warm(): void {
  if (worker) return;
  const url = URL.createObjectURL(new Blob([WORKER], { type: "text/javascript" }));
  worker = new Worker(url);
  URL.revokeObjectURL(url);
  worker.onmessage = (event: MessageEvent<Word>) => hear(event.data);
  worker.onerror = (event) => {
    event.preventDefault();
    hear({ kind: "broken", id: waiting?.id ?? 0, why: event.message, memory: /memory/i.test(event.message) });
  };
  tell(compiled ? { kind: "load", module: compiled } : { kind: "load", packed: document.getElementById("program")?.textContent?.trim() ?? "" });
}

function tell(order: Order): void {
  worker?.postMessage(order);
}

function hear(word: Word): void {
  if (word.kind === "ready") {
    compiled = word.module;
    return;
  }
  if (!waiting || (word.id !== 0 && word.id !== waiting.id)) return;
  const own = waiting;
  if (word.kind === "stage") return own.stage(word.stage);
  waiting = undefined;
  if (word.kind === "done") return own.done({ status: word.status, out: word.out, faults: faults(word.err), files: word.files });
  // A run that broke may leave its worker in any state.
  end();
  own.failed(new Error(word.memory ? "The memory of this tab is not sufficient. Try a computer with more memory." : "The program stopped with an error: " + word.why));
}

function faults(text: string): Fault[] {
  const list = text.split("\n").find((line) => line.startsWith("["));
  try {
    return list ? (JSON.parse(list) as Fault[]) : text.trim() ? [{ place: {}, text: text.trim() }] : [];
  } catch {
    return [{ place: {}, text: text.trim() }];
  }
}

function end(): void {
  worker?.terminate();
  worker = undefined;
}

function drop(why: Error): void {
  const own = waiting;
  if (!own) return;
  waiting = undefined;
  end();
  own.failed(why);
  warm();
}

/** Stops what is running. */
export const stop = (): void => drop(new Stopped());

/** Ends a judgement that is under way, because what it judges is about to change. */
export function overtake(): void {
  if (waiting?.judges) drop(new Overtaken());
}

/** Runs the program in a folder of these files. Runs wait for each other. */
export function run(args: string[], files: Named[], stage?: (stage: string) => void): Promise<Ran> {
  const own = turn.then(
    () =>
      new Promise<Ran>((done, failed) => {
        warm();
        last += 1;
        waiting = { id: last, judges: stage !== undefined, done, failed, stage: stage ?? (() => {}) };
        tell({ kind: "run", id: last, args: ["--faults", "json", ...args], files });
      }),
  );
  turn = own.catch(() => {});
  return own;
}
