// What passes between the page and the worker that runs the program.

/** A file by its path below the folder that the program stands in. */
export interface Named {
  path: string;
  bytes: Uint8Array<ArrayBuffer>;
}

/** To the worker: the packed program or the compiled one, then runs. */
export type Order =
  | { kind: "load"; packed?: string; module?: WebAssembly.Module }
  | { kind: "run"; id: number; args: string[]; files: Named[] };

/** From the worker. */
export type Word =
  | { kind: "ready"; module: WebAssembly.Module }
  | { kind: "stage"; id: number; stage: string }
  | { kind: "done"; id: number; status: number; out: string; err: string; files: Named[] }
  | { kind: "broken"; id: number; why: string; memory: boolean };
