// Keeping, sharing, reading: the report as a view of its own, the zip, single sheets, the list of sites.
import { button, fill, h } from "./dom";
import { save, share, shareable } from "./files";
import { Site } from "./site";
import { all } from "./store";
import type { Page } from "./views";

/** The report in a frame: the program's own page, which runs only its own script. */
export function report(page: Page, site: Site, which: string): HTMLElement {
  const ending: Record<string, string> = { survey: "-survey-results", compare: "-after-results", log: "-log-results" };
  const own = ending[which];
  const path = site.reports().filter((p) => (own ? p.split("/")[0]?.endsWith(own) : !/-(survey|after|log)-results\//.test(p)))[0];
  const text = path && site.result(path);
  if (!path || !text) {
    return h("div", { class: "card" }, h("p", {}, "This report does not exist yet."), button("Back", () => history.back()));
  }
  const frame = h("iframe", { title: path, class: "report" });
  frame.addEventListener("load", () => {
    // A link to a part of the report must not be taken for one of this page.
    frame.contentDocument?.addEventListener("click", (event) => {
      const link = (event.target as Element | null)?.closest?.("a[href^='#']");
      if (!link) return;
      event.preventDefault();
      const part = frame.contentDocument?.getElementById(decodeURIComponent(link.getAttribute("href")?.slice(1) ?? ""));
      for (let up = part?.closest("details"); up; up = up.parentElement?.closest("details") ?? null) up.open = true;
      part?.scrollIntoView();
    });
  });
  frame.srcdoc = text;
  const print = (): void => {
    frame.contentWindow?.focus();
    frame.contentWindow?.print();
  };
  document.addEventListener("keydown", function once(event) {
    if (!frame.isConnected) return document.removeEventListener("keydown", once);
    if ((event.ctrlKey || event.metaKey) && event.key === "p") {
      event.preventDefault();
      print();
    }
  });
  return h("div", { class: "reading" }, h("div", { class: "actions tight" }, button("Back", () => history.back()), button("Print", print), button("Keep or share", () => page.go("keep"))), frame);
}

/** A printed page prints as the report does: no browser breaks a frame into pages, so the report takes the place of the page meanwhile, with its own style. */
export function printable(): void {
  let back: (() => void) | undefined;
  addEventListener("beforeprint", () => {
    const frame = document.querySelector<HTMLIFrameElement>("iframe.report");
    const inner = frame?.contentDocument;
    if (!inner?.body || back) return;
    // Its script opens what is folded on the screen.
    frame?.contentWindow?.dispatchEvent(new Event("beforeprint"));
    const own = [...document.body.children].filter((e): e is HTMLElement => e instanceof HTMLElement && !e.hidden);
    const style = document.querySelector("style");
    const copies = [...inner.querySelectorAll("style"), ...inner.body.children].filter((e) => e.localName !== "script").map((e) => document.importNode(e, true));
    for (const e of own) e.hidden = true;
    if (style) style.disabled = true;
    document.body.append(...copies);
    back = () => {
      copies.forEach((e) => e.remove());
      for (const e of own) e.hidden = false;
      if (style) style.disabled = false;
      frame?.contentWindow?.dispatchEvent(new Event("afterprint"));
      back = undefined;
    };
  });
  addEventListener("afterprint", () => back?.());
}

/** Everything of the site, to keep and to hand on. */
export function keeping(page: Page, site: Site): HTMLElement {
  const name = (site.record.title || "site").replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-|-$/g, "").toLowerCase() || "site";
  const zipped = async (then: (path: string, bytes: Uint8Array<ArrayBuffer>) => unknown): Promise<void> => void (await then(`${name}.zip`, await site.zip()));
  const one = (path: string, bytes: Uint8Array<ArrayBuffer>): HTMLElement => {
    const short = path.split("/").pop() ?? path;
    return h(
      "li",
      {},
      h("span", {}, path),
      h("span", { class: "row" }, button("Save", () => save(path, bytes), { "aria-label": `save ${short}` }), shareable(path, bytes) && button("Share", () => void share(path, bytes), { "aria-label": `share ${short}` })),
    );
  };
  const files = [site.siteFile, ...site.record.files, ...site.record.results];
  const canShare = shareable("a.zip", new Uint8Array(1));
  return h(
    "div",
    {},
    h(
      "div",
      { class: "card" },
      h("p", {}, "One zip contains the site file, the surveys and the results. This page and the program on a computer can open it."),
      h("div", { class: "actions" }, button("Save as one zip", () => void zipped(save), { class: "main" }), canShare && button("Share the zip", () => void zipped(share))),
    ),
    h("details", { class: "card", open: files.length < 30 }, h("summary", {}, "Single files"), h("ul", { class: "sheets" }, ...files.map((f) => one(f.path, f.bytes)))),
    h("div", { class: "card" }, h("p", {}, Site.unkept ? "This browser cannot keep the site: its storage is full or blocked. Save the zip." : "This browser keeps the site until you remove it."), button("Remove from this browser", () => {
      void site.removed().then(() => {
        page.site = undefined;
        page.go("survey");
      });
    }, { class: "quiet" })),
  );
}

/** The sites that this browser keeps. */
export async function list(open: (site: Site) => void): Promise<HTMLElement | undefined> {
  const sites = await all().catch(() => []);
  if (sites.length === 0) return undefined;
  const rows = sites.map((record) =>
    h("li", {}, button(record.title || record.name, () => void Site.of(record).then(open), { class: "kept" }), h("small", {}, new Date(record.changed).toLocaleString())),
  );
  const box = h("section", { "aria-labelledby": "kept" }, h("h2", { id: "kept" }, "Sites in this browser"));
  const ul = h("ul", { class: "keptlist" });
  fill(ul, ...rows);
  box.append(ul);
  return box;
}
