// The answer in short: the verdict, what to do first, the figures, and what changed since the last.
import { h } from "./dom";
import type { Brief } from "./site";

/** The verdict and what to do first. */
export function verdict(brief: Brief, before?: Brief): HTMLElement {
  const known = new Set(before?.first ?? brief.first);
  const items = brief.first.map((text) => h("li", { class: known.has(text) ? undefined : "changed" }, text));
  return h(
    "div",
    { class: `verdict ${brief.class}` },
    h("p", { class: before && before.line !== brief.line ? "line changed" : "line" }, brief.line),
    before && before.line !== brief.line && h("p", { class: "was" }, h("span", {}, "was: "), before.line),
    items.length > 0 && h("ol", {}, ...items),
    brief.more > 0 && h("p", {}, `and ${brief.more} more in the report`),
  );
}

/** The figures; one that changed shows what it was. */
export function figures(brief: Brief, before?: Brief): HTMLElement {
  const was = new Map((before ?? brief).figures.map((f) => [f.what, f]));
  return h(
    "dl",
    { class: "figures" },
    ...brief.figures.map((f) => {
      const old = was.get(f.what);
      const changed = old !== undefined && (old.shown !== f.shown || old.note !== f.note);
      return h(
        "div",
        { class: changed ? "changed" : undefined },
        h("dt", {}, f.what),
        h("dd", {}, f.shown, f.note && h("small", {}, f.note), changed && old && h("small", { class: "was" }, h("span", {}, "was: "), [old.shown, old.note].filter(Boolean).join(", "))),
      );
    }),
  );
}
