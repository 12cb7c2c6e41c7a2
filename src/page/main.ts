// The page: which view is shown, which site is at hand.
import { back } from "./back";
import { booking } from "./book";
import { button, fill, h } from "./dom";
import { chooser, droppable, shared } from "./files";
import { gauging } from "./gauge";
import { keeping, list, printable, report } from "./keep";
import { run, warm } from "./program";
import { Site, known } from "./site";
import { kept } from "./store";
import { Task } from "./task";
import { type Page, answered, plant, sizes, storm, surveyed } from "./views";
import { alarm, underway, walking } from "./walk";
import type { Named } from "./wire";

const STEPS: [string, string][] = [
  ["survey", "Your survey"],
  ["plant", "Your pipe and nozzles"],
  ["answer", "The answer"],
];
const TITLES: Record<string, string> = { ...Object.fromEntries(STEPS), storm: "After the storm", sizes: "Compare sizes", keep: "Keep or share", report: "The report", walk: "Record a walk", book: "Keep a book", back: "Back to a mark", gauge: "A gauge reading" };
const AT_HAND = "steadyfall.site";

/** What is done on the hill, where there may be no site yet. */
const ALONE: Record<string, () => HTMLElement> = { walk: () => walking(page), book: () => booking(page) };

const main = document.querySelector("main") ?? document.body;
const steps = document.querySelector("#steps") ?? document.body;
let drawn = "";

const page: Page = {
  site: undefined,
  take: (files) => void take(files),
  go: (view) => {
    if (location.hash === "#" + view) show();
    else location.hash = view;
  },
};

function hand(site: Site | undefined): void {
  page.site = site;
  try {
    if (site) localStorage.setItem(AT_HAND, site.record.id);
    else localStorage.removeItem(AT_HAND);
  } catch {
    // A browser that keeps nothing still works.
  }
}

const start = new Task();

async function take(files: Named[]): Promise<void> {
  const site = await start.watch(() => Site.from(files));
  if (!site) {
    if (page.site || location.hash.slice(1) !== "survey") {
      page.site = undefined;
      page.go("survey");
    }
    return;
  }
  hand(site);
  await site.keepNow();
  // A site that says what pipe it is goes on to its answer; a survey alone is shown first.
  page.go(site.count("pipe") > 0 ? "answer" : "survey");
}

async function sample(which: string[]): Promise<void> {
  const ran = await start.watch((stage) => run(["demo", "--files", "sample", ...which], [], stage));
  if (ran) await take(ran.files.map((f) => ({ path: f.path.slice(f.path.lastIndexOf("/") + 1), bytes: f.bytes })));
}

function beginning(): HTMLElement {
  const kept = h("div", {});
  void list((site) => {
    hand(site);
    page.go(site.count("pipe") > 0 ? "answer" : "survey");
  }).then((box) => box && fill(kept, box));
  return h(
    "div",
    { class: "begin" },
    h("p", { class: "ask" }, "Select the walk or the level book of your pipe."),
    chooser("Select files", (files) => void take(files), { class: "main large" }),
    h("p", { class: "aside" }, "or ", button("try the sample", () => void sample([]), { class: "link" }), " or ", button("the sample in feet", () => void sample(["--sample", "us"]), { class: "link" })),
    h("p", { class: "aside" }, "On the hill: ", button("record a walk", () => page.go("walk"), { class: "link" }), " or ", button("keep a book", () => page.go("book"), { class: "link" })),
    start.box,
    kept,
  );
}

function heading(view: string): HTMLElement {
  const step = STEPS.findIndex(([name]) => name === view);
  return h("h1", { tabindex: -1 }, step >= 0 && h("span", { class: "count" }, `${step + 1}`, h("span", { class: "hear" }, " of 3: ")), TITLES[view] ?? "");
}

function show(): void {
  const [view = "survey", which = "check"] = (location.hash.slice(1) || "survey").split("/");
  const site = page.site;
  const views: Record<string, (site: Site) => HTMLElement> = {
    survey: (s) => surveyed(page, s),
    plant: (s) => plant(page, s),
    answer: (s) => answered(page, s),
    storm: (s) => storm(page, s),
    sizes: (s) => sizes(page, s),
    keep: (s) => keeping(page, s),
    report: (s) => report(page, s, which),
    back: (s) => back(page, s),
    gauge: (s) => gauging(page, s),
  };
  const afield = ALONE[view];
  const own = views[view];
  const name = afield || (site && own) ? view : "survey";
  document.title = `${TITLES[name]} \u2013 steadyfall`;
  document.body.dataset.view = site || afield ? name : "begin";
  const title = heading(name);
  fill(main, underway() && alarm, title, site && own && h("p", { class: "of" }, site.record.title), afield ? afield() : site && own ? own(site) : beginning());
  trail(name);
  if (drawn) {
    title.focus({ preventScroll: true });
    scrollTo(0, 0);
  }
  drawn = name;
}

/** The three steps, once there is something to step through. */
function trail(view: string): void {
  const site = page.site;
  // A walk that is recorded is never out of sight.
  const walk = view !== "walk" && underway() && h("li", {}, h("a", { href: "#walk", class: "said-out" }, "A walk is recorded"));
  const begin = view !== "survey" && h("li", {}, h("a", { href: "#survey", class: "said-out" }, STEPS[0]?.[1] ?? ""));
  if (!site) return fill(steps, (walk || begin) && h("ul", {}, walk, begin));
  const links = STEPS.filter(([name]) => name !== "answer" || site.count("pipe") > 0).map(([name, title], i) => {
    const link = h("a", { href: "#" + name, "aria-current": name === view ? "step" : undefined }, h("span", { class: "count", "aria-hidden": "true" }, String(i + 1)), title);
    return h("li", {}, link);
  });
  const other = h("li", {}, button("Another pipe", () => {
    hand(undefined);
    page.go("survey");
  }, { class: "link" }));
  fill(steps, h("ul", {}, walk, ...links, other));
}

async function begin(): Promise<void> {
  warm();
  droppable((files) => void take(files));
  printable();
  addEventListener("hashchange", show);
  const came = await shared().catch(() => []);
  let id: string | null = null;
  try {
    id = localStorage.getItem(AT_HAND);
  } catch {
    id = null;
  }
  show();
  if (came.length > 0) await take(came);
  else if (id) {
    const record = await kept(id).catch(() => undefined);
    if (record) {
      const site = await Site.of(record).catch(() => undefined);
      if (site && !page.site) {
        hand(site);
        // A walk or a book that was opened meanwhile stays as it is: only the way to the site is drawn.
        if (drawn in ALONE) trail(drawn);
        else show();
      }
    }
  }
  const { program, caution } = await known();
  fill(document.querySelector("#caution") ?? document.body, caution);
  fill(document.querySelector("#version") ?? document.body, `${program.name} ${program.version}`);
}

void begin();

// Over https the page is kept for use without a network. A page from a file is whole as it is.
if (location.protocol === "https:" || location.hostname === "localhost") {
  document.head.append(h("link", { rel: "manifest", href: "manifest.webmanifest" }));
  void navigator.serviceWorker?.register("sw.js").catch(() => undefined);
}
