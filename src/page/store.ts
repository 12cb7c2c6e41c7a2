// What the browser keeps until it is removed: one record a site.
import type { Named } from "./wire";

/** A site as it is kept. */
export interface Kept {
  id: string;
  title: string;
  changed: number;
  /** The name of the site file, and its text. */
  name: string;
  text: string;
  /** Surveys and whatever else came with them. */
  files: Named[];
  /** The later walk, by the names of its files. */
  after: string[];
  /** Every results folder, as the program wrote it. */
  results: Named[];
  /** Devices that were taken from an offer, and can be taken back. */
  tried?: Try[];
}

/** A device that the program offers: the keys that declare it, what it is, and what for. */
export interface Try {
  table: string;
  keys: Record<string, string>;
  text: string;
  why: string;
}

const STORE = "sites";

/** Opens the storage; what is kept in the field has stores of its own. */
export function open(): Promise<IDBDatabase> {
  return new Promise((done, failed) => {
    const asked = indexedDB.open("steadyfall", 2);
    asked.onupgradeneeded = () => {
      const base = asked.result;
      for (const name of [STORE, "walks", "books"]) if (!base.objectStoreNames.contains(name)) base.createObjectStore(name, { keyPath: "id" });
      if (!base.objectStoreNames.contains("trail")) base.createObjectStore("trail", { autoIncrement: true }).createIndex("walk", "walk");
    };
    asked.onsuccess = () => {
      // A page of a later version in another tab must not wait for this one.
      asked.result.onversionchange = () => asked.result.close();
      done(asked.result);
    };
    asked.onerror = () => failed(asked.error ?? new Error("no storage"));
  });
}

async function work<T>(mode: IDBTransactionMode, ask: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const base = await open();
  try {
    return await new Promise<T>((done, failed) => {
      const transaction = base.transaction(STORE, mode);
      const asked = ask(transaction.objectStore(STORE));
      transaction.oncomplete = () => done(asked.result);
      transaction.onerror = () => failed(transaction.error ?? new Error("not kept"));
      transaction.onabort = () => failed(transaction.error ?? new Error("not kept"));
    });
  } finally {
    base.close();
  }
}

export const keep = (site: Kept): Promise<unknown> => work("readwrite", (s) => s.put(site));
export const kept = (id: string): Promise<Kept | undefined> => work<Kept | undefined>("readonly", (s) => s.get(id) as IDBRequest<Kept | undefined>);
export const remove = (id: string): Promise<unknown> => work("readwrite", (s) => s.delete(id));

/** All of them, the latest first. */
export async function all(): Promise<Kept[]> {
  const sites = await work<Kept[]>("readonly", (s) => s.getAll() as IDBRequest<Kept[]>);
  return sites.sort((a, b) => b.changed - a.changed);
}
