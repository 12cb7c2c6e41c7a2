// A run that somebody watches: what is being done, a way to stop it, and what went wrong beside what caused it.
import { button, fill, h } from "./dom";
import { faultBox, showFaults, unfold } from "./form";
import { Overtaken, Stopped, overtake, stop } from "./program";
import { type Site, type Stage, Wrong } from "./site";

/** A place in a view for the run's stages and its faults. */
export class Task {
  readonly box = h("div", { class: "task" });
  private readonly said = h("p", { role: "status" });
  private readonly bar = h("div", { class: "bar", hidden: true }, h("progress", { "aria-label": "working" }), this.said, button("Stop", stop, { class: "stop" }));
  private readonly wrong = h("div", { role: "alert" });
  private turn = 0;
  /** Whether the last run gave way to a newer one. */
  overtaken = false;

  constructor() {
    this.box.append(this.bar, this.wrong);
  }

  /** Runs something; gives back nothing where it was stopped, overtaken or wrong. */
  async watch<T>(work: (stage: Stage) => Promise<T>, where?: { root: HTMLElement; site: Site }): Promise<T | undefined> {
    this.turn += 1;
    const own = this.turn;
    fill(this.wrong);
    overtake();
    this.overtaken = false;
    this.bar.hidden = false;
    fill(this.said, "\u2026");
    try {
      const out = await work((stage) => {
        if (own === this.turn) fill(this.said, stage);
      });
      return own === this.turn ? out : undefined;
    } catch (why) {
      if (why instanceof Overtaken) this.overtaken = true;
      else if (own === this.turn) this.tell(why, where);
      return undefined;
    } finally {
      if (own === this.turn) this.bar.hidden = true;
    }
  }

  /** Says what went wrong, at its field where there is one. */
  tell(why: unknown, where?: { root: HTMLElement; site: Site }): void {
    if (why instanceof Stopped) {
      fill(this.wrong, h("p", {}, "Stopped. The earlier result is still shown."));
    } else if (why instanceof Wrong) {
      if (where) unfold(where.root, where.site, why.faults);
      const rest = where ? showFaults(where.root, where.site, why.faults) : why.faults;
      fill(this.wrong, ...rest.map((f) => faultBox(f)));
    } else {
      fill(this.wrong, h("div", { class: "told" }, h("p", {}, h("strong", {}, why instanceof Error ? why.message : String(why)))));
    }
  }

  /** Says nothing more of what went wrong before. */
  clear(): void {
    fill(this.wrong);
  }
}
