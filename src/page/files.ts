// Files in and out: chosen, dropped, shared to the page; saved, shared from it.
import { button, h } from "./dom";
import type { Named } from "./wire";

/** The bytes of files that somebody chose. */
export function read(files: Iterable<File>): Promise<Named[]> {
  return Promise.all([...files].map(async (f) => ({ path: f.name, bytes: new Uint8Array(await f.arrayBuffer()) })));
}

/** A button that lets files be chosen. */
export function chooser(text: string, got: (files: Named[]) => void, props: Record<string, unknown> = {}): HTMLElement {
  const input: HTMLInputElement = h("input", { type: "file", multiple: true, hidden: true, onchange: () => {
    if (input.files?.length) void read(input.files).then(got);
    input.value = "";
  } });
  return h("span", { class: "chooser" }, button(text, () => input.click(), props), input);
}

/** Takes what is dropped anywhere on the page. */
export function droppable(got: (files: Named[]) => void): void {
  const over = (on: boolean) => (event: DragEvent) => {
    event.preventDefault();
    document.documentElement.toggleAttribute("data-over", on);
  };
  document.addEventListener("dragover", over(true));
  document.addEventListener("dragleave", over(false));
  document.addEventListener("drop", (event) => {
    over(false)(event);
    const files = event.dataTransfer?.files;
    if (files?.length) void read(files).then(got);
  });
}

const KINDS: Record<string, string> = {
  html: "text/html", svg: "image/svg+xml", csv: "text/csv", json: "application/json", geojson: "application/geo+json", gpx: "application/gpx+xml",
  toml: "text/plain", zip: "application/zip",
};

function asFile(path: string, bytes: Uint8Array<ArrayBuffer>): File {
  const name = path.split("/").pop() ?? path;
  return new File([bytes], name, { type: KINDS[name.split(".").pop() ?? ""] ?? "application/octet-stream" });
}

/** Saves a file where the browser saves things. */
export function save(path: string, bytes: Uint8Array<ArrayBuffer>): void {
  const file = asFile(path, bytes);
  const url = URL.createObjectURL(file);
  const link = h("a", { href: url, download: file.name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** Whether the phone's own share sheet takes such a file. */
export function shareable(path: string, bytes: Uint8Array<ArrayBuffer>): boolean {
  return typeof navigator.canShare === "function" && navigator.canShare({ files: [asFile(path, bytes)] });
}

export async function share(path: string, bytes: Uint8Array<ArrayBuffer>): Promise<void> {
  try {
    await navigator.share({ files: [asFile(path, bytes)] });
  } catch (why) {
    if (!(why instanceof DOMException && why.name === "AbortError")) throw why;
  }
}

/** What another app shared to the installed page, left by its service worker. */
export async function shared(): Promise<Named[]> {
  if (!("caches" in window) || !location.protocol.startsWith("http")) return [];
  const cache = await caches.open("shared");
  const out: Named[] = [];
  for (const asked of await cache.keys()) {
    const answer = await cache.match(asked);
    if (answer) out.push({ path: decodeURIComponent(new URL(asked.url).pathname.split("/").pop() ?? "file"), bytes: new Uint8Array(await answer.arrayBuffer()) });
    await cache.delete(asked);
  }
  return out;
}
