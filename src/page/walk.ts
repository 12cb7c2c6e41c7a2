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

/** The walk that is recorded goes on while other views are looked at. */
let current: Recorder | undefined;

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
  const alarm = h("p", { class: "alarm", role: "alert" });
  const heard = h("p", { class: "hear", role: "status" });
  const drawn = h("div", { class: "drawn" });
  const said = h("div", {});
  const shown = h("div", { class: "shown" });
  const task = new Task();
  const stand = h("div", { class: "stand" });
  const controls = h("div", {});
  let last: Track | undefined;
  let timer = 0;
  let drawnAt = 0;
  let drawing = false;

  const redraw = async (): Promise<Track | undefined> => {
    if (drawing) return last;
    drawing = true;
    drawnAt = Date.now();
    try {
      last = await track(recorder.walk, recorder.fixes, recorder.events);
      fill(drawn, picture(last));
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
    const parts = [`${recorder.fixes.length} fixes`, fix?.[3] != null && `\u00b1 ${Math.round(fix[3])} m`, recorder.running && !recorder.awake && "the screen may go dark"];
    fill(state, parts.filter(Boolean).join(", "));
    const wrong = [
      recorder.running && since > known.gap_s && `No fix for ${clock(since)}.`,
      recorder.running && recorder.trouble,
      recorder.unkept > 0 && `This browser did not keep ${recorder.unkept} fixes: its storage is full or blocked. Save the GPX.`,
    ].filter(Boolean).join(" ");
    if (alarm.textContent !== wrong) fill(alarm, wrong);
    if (recorder.standing) {
      const left = (recorder.standing - Date.now()) / 1000;
      if (left <= 0) {
        recorder.stood();
        drawStand();
      } else fill(stand.querySelector("output") ?? stand, clock(left));
    }
    if (recorder.running && Date.now() - drawnAt > REDRAW_MS && !document.hidden) void redraw().catch(() => undefined);
  };
  const drawStand = (): void => {
    if (recorder.standing) {
      fill(stand, h("p", {}, known.stand), h("output", { class: "count-down" }, ""), button("End the stop", () => {
        recorder.stood();
        drawStand();
      }));
      return;
    }
    const of = (seconds: number): HTMLElement => button(`Stand still here, ${clock(seconds)}`, () => {
      recorder.stand(seconds);
      drawStand();
    });
    fill(stand, recorder.running && of(known.stand_at_end_s), recorder.running && of(known.stand_s));
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
              void judge();
            }, { class: "stop" })
          : button("Go on with this walk", () => {
              recorder.start();
              drawControls();
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
  recorder.told = live;
  timer = window.setInterval(() => {
    if (body.isConnected) live();
    else clearInterval(timer);
  }, 500);
  fill(body, state, alarm, heard, controls, task.box, shown, drawn, said);
  drawControls();
  live();
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
  for (const mark of of.drawn.marks) {
    const [x, y] = mark.at;
    const label = node("text", { x: String(x + 4), y: String(y - 3) });
    label.textContent = mark.name;
    svg.append(node("circle", { cx: String(x), cy: String(y), r: "2.5" }), label);
  }
  return svg;
}
