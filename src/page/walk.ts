// Recording a walk: one big button, marks by one tap, and after each pass what it shows.
import { type Sheets, type Track, bytes, sheets, sum, track } from "./afield";
import { figures, verdict } from "./answer";
import { button, fill, h } from "./dom";
import { save, share, shareable } from "./files";
import { Recorder } from "./recorder";
import { Task } from "./task";
import { removeWalk, walks } from "./trail";
import type { Page } from "./views";
import type { Named } from "./wire";

const SVG = "http://www.w3.org/2000/svg";
/** How often the line is drawn anew while nothing else asks for it. */
const REDRAW_MS = 20_000;
/** The height of a line of names in the drawing. */
const LETTER = 8;

/** The walk that is recorded goes on while other views are looked at. */
let current: Recorder | undefined;

/** What is wrong with the recording, whichever view is looked at. */
export const alarm = h("p", { class: "alarm", role: "alert" });
let timer = 0;

/** Whether a walk is recorded just now. */
export const underway = (): boolean => current?.running ?? false;

export function walking(page: Page): HTMLElement {
  const body = h("div", { class: "field-view" });
  const units = (): string => {
    const said = page.site?.value("", 0, "units");
    return typeof said === "string" ? said : "";
  };
  void sheets(units()).then((known) => {
    if (current) recording(page, body, known, current, units());
    else void beginning(page, body, known, units());
  });
  return body;
}

async function beginning(page: Page, body: HTMLElement, known: Sheets, units: string): Promise<void> {
  const kept = await walks().catch(() => []);
  const go = (recorder: Recorder): void => {
    current = recorder;
    recording(page, body, known, recorder, units);
  };
  const rows = kept.map((walk) =>
    h("li", {}, button(`${walk.title}`, () => void Recorder.again(walk).then(go), { class: "kept" }), h("small", {}, new Date(walk.began).toLocaleString())),
  );
  fill(
    body,
    button("Start the walk", () => {
      const began = new Date();
      const day = `${began.getFullYear()}-${two(began.getMonth() + 1)}-${two(began.getDate())}`;
      void Recorder.begin(`walk ${day}`).then((recorder) => {
        recorder.start();
        go(recorder);
      });
    }, { class: "main large" }),
    h("ul", { class: "limits" }, ...known.limits.map((t) => h("li", {}, t))),
    h("p", { class: "hint" }, known.caution),
    rows.length > 0 && h("section", { "aria-labelledby": "walks" }, h("h2", { id: "walks" }, "Walks in this browser"), h("ul", { class: "keptlist" }, ...rows)),
  );
}

const two = (n: number): string => String(n).padStart(2, "0");
const clock = (seconds: number): string => `${Math.floor(seconds / 60)}:${two(Math.floor(seconds % 60))}`;

function recording(page: Page, body: HTMLElement, known: Sheets, recorder: Recorder, units: string): void {
  const state = h("p", { class: "live" });
  const heard = h("p", { class: "hear", role: "status" });
  const drawn = h("div", { class: "drawn" });
  const said = h("div", {});
  const shown = h("div", { class: "shown" });
  const task = new Task();
  const stand = h("div", { class: "stand" });
  const controls = h("div", {});
  let last: Track | undefined;
  let drawnAt = 0;
  let drawing = false;
  /** The figure that counts a stop down. */
  let counted: HTMLElement | undefined;

  const redraw = async (): Promise<Track | undefined> => {
    if (drawing) return last;
    drawing = true;
    drawnAt = Date.now();
    try {
      last = await track(recorder.walk, recorder.fixes, recorder.events);
      fill(drawn, last.fixes > 0 && picture(last));
      const part = (title: string, all: string[]): HTMLElement | false => all.length > 0 && h("div", {}, h("h2", {}, title), h("ul", {}, ...all.map((t) => h("li", {}, t))));
      fill(said, part("Passes", last.passes), part("Gaps", last.gaps), part("Stops", last.stands));
    } finally {
      drawing = false;
    }
    return last;
  };
  /** The honest sum, by the program. */
  const judge = async (): Promise<void> => {
    await task.watch(async () => {
      const own = await track(recorder.walk, recorder.fixes, recorder.events);
      last = own;
      const found = await sum([file(own)], units);
      fill(shown, verdict(found), h("ul", { class: "sum" }, ...found.said.map((t) => h("li", {}, t))), figures(found));
    });
    await redraw().catch(() => undefined);
  };
  const file = (of: Track): Named => ({ path: `${recorder.walk.title.replace(/\s+/g, "-")}.gpx`, bytes: bytes(of.gpx) });
  const mark = (name: string, label: string): void => {
    recorder.note("mark", name);
    fill(heard, `${label}, ${recorder.events.filter((e) => e.what === "mark" && e.name === name).length}`);
    void redraw().catch(() => undefined);
  };
  const live = (): void => {
    const fix = recorder.fixes.at(-1);
    const since = (Date.now() - recorder.heard) / 1000;
    const parts = [recorder.fixes.length > 0 ? `${recorder.fixes.length} ${recorder.fixes.length === 1 ? "fix" : "fixes"}` : "No fix yet", recorder.writing > 1 && `${recorder.writing} not yet saved`, fix?.[3] != null && `\u00b1 ${Math.round(fix[3])} m`, recorder.running && !recorder.awake && "the screen may go dark"];
    fill(state, parts.filter(Boolean).join(", "));
    const wrong = [
      recorder.running && since > known.gap_s && `No fix for ${clock(since)}.`,
      recorder.running && recorder.trouble,
      recorder.unkept > 0 && `This browser did not keep ${recorder.unkept} of the fixes and marks: its storage is full or blocked. Save the GPX.`,
    ].filter(Boolean).join(" ");
    if (alarm.textContent !== wrong) fill(alarm, wrong);
    if ((recorder.standing !== 0) !== (counted !== undefined)) {
      drawStand();
      if (!counted) fill(heard, "The stop is over.");
    }
    if (counted) fill(counted, clock(Math.max(0, Math.ceil((recorder.standing - Date.now()) / 1000))));
    if (recorder.running && Date.now() - drawnAt > REDRAW_MS && !document.hidden && body.isConnected) void redraw().catch(() => undefined);
  };
  const drawStand = (): void => {
    const focused = stand.contains(document.activeElement);
    // Its figure changes each second: nobody wants that read out.
    counted = recorder.standing ? h("p", { class: "count-down", "aria-hidden": "true" }) : undefined;
    const of = (seconds: number): HTMLElement => button(`Stand still here, ${clock(seconds)}`, () => recorder.stand(seconds));
    if (counted) fill(stand, h("p", { role: "status" }, known.stand), counted, button("End the stop", () => recorder.stood()));
    else fill(stand, recorder.running && of(known.stand_at_end_s), recorder.running && of(known.stand_s));
    if (focused) stand.querySelector("button")?.focus();
  };
  const drawControls = (): void => {
    drawStand();
    const marks = h("div", { class: "marks", role: "group", "aria-label": "marks" }, ...known.marks.map((m) => button(m.shown, () => mark(m.name, m.shown))));
    const use = async (): Promise<void> => {
      const out = file(await track(recorder.walk, recorder.fixes, recorder.events));
      const site = page.site;
      const before = site?.surveyFiles().filter((f) => f.toLowerCase().endsWith(".gpx")) ?? [];
      if (!site || before.length === 0) return page.take([out]);
      // What all walks of this pipe show together is said before this one joins them: two kinds of phone too.
      const all = await sum([...site.record.files.filter((f) => before.includes(f.path)), { ...out, path: `new-${out.path}` }], units);
      const add = button("Add it to this site", () => void task.watch(() => site.addPass([out])).then(() => page.go("survey")), { class: "main" });
      fill(shown, h("p", { class: "of" }, site.record.title), verdict(all), h("ul", { class: "sum" }, ...all.said.map((t) => h("li", {}, t))), h("div", { class: "actions" }, add, button("As a new site", () => page.take([out]))));
      shown.scrollIntoView({ block: "center" });
    };
    const out = async (then: (path: string, of: Uint8Array<ArrayBuffer>) => unknown): Promise<void> => {
      const own = file(await track(recorder.walk, recorder.fixes, recorder.events));
      await then(own.path, own.bytes);
    };
    fill(
      controls,
      recorder.running && marks,
      stand,
      h(
        "div",
        { class: "actions" },
        recorder.running && button("End of this pass", () => {
          recorder.note("pass");
          void judge();
        }, { class: "main" }),
        recorder.running
          ? button("Stop the walk", () => {
              recorder.stop();
              drawControls();
              first();
              void judge();
            }, { class: "stop" })
          : button("Go on with this walk", () => {
              recorder.start();
              drawControls();
              first();
            }),
        !recorder.running && recorder.fixes.length > 1 && button("Use this walk", () => void task.watch(use), { class: "main" }),
        !recorder.running && button("Save the GPX", () => void task.watch(() => out(save))),
        !recorder.running && shareable("a.gpx", new Uint8Array(1)) && button("Share the GPX", () => void task.watch(() => out(share))),
        !recorder.running && button("Another walk", () => {
          current = undefined;
          void beginning(page, body, known, units);
        }),
        !recorder.running && button("Remove this walk", () => void removeWalk(recorder.walk.id).then(() => {
          current = undefined;
          void beginning(page, body, known, units);
        }), { class: "quiet" }),
      ),
    );
  };
  /** Who came by the keyboard goes on there. */
  const first = (): void => controls.querySelector("button")?.focus();
  recorder.told = live;
  clearInterval(timer);
  timer = window.setInterval(() => {
    if (body.isConnected || recorder.running) live();
    else clearInterval(timer);
  }, 500);
  fill(body, h("p", { class: "of" }, recorder.walk.title), state, alarm, heard, controls, task.box, shown, drawn, said);
  const came = document.activeElement === document.body || document.activeElement === null;
  drawControls();
  live();
  if (came) first();
  if (recorder.fixes.length > 0) void redraw().catch(() => undefined);
}

/** The line so far; every place in it is the program's. */
function picture(of: Track): SVGElement {
  const node = (name: string, props: Record<string, string>): SVGElement => {
    const made = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(props)) made.setAttribute(key, value);
    return made;
  };
  const svg = node("svg", { viewBox: "0 0 200 200", role: "img", "aria-label": of.passes.join("; ") || "no fix yet" });
  for (const segment of of.drawn.segments) svg.append(node("polyline", { points: segment.map((p) => p.join(",")).join(" ") }));
  // From the top down, each name below the one before.
  let free = 0;
  for (const mark of [...of.drawn.marks].sort((a, b) => a.at[1] - b.at[1])) {
    const [x, y] = mark.at;
    free = Math.max(y - 3, free + LETTER);
    const left = x > 120;
    const label = node("text", { x: String(left ? x - 4 : x + 4), y: String(free), "text-anchor": left ? "end" : "start" });
    label.textContent = mark.name;
    svg.append(node("circle", { cx: String(x), cy: String(y), r: "2.5" }), label);
  }
  return svg;
}
