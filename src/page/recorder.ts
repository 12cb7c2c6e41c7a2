// Records a walk: every fix is written before anything is done with it; what breaks is told at once.
import { type Fix, type Happening, type Walk, keepStep, keepWalk, stepsOf } from "./trail";

/** What the page shows of a recording. */
export class Recorder {
  fixes: Fix[] = [];
  events: Happening[] = [];
  /** Fixes and taps that the browser's storage did not take. */
  unkept = 0;
  /** Fixes and taps that are on their way to the disk. */
  writing = 0;
  /** What the receiver last said was wrong. */
  trouble = "";
  running = false;
  awake = false;
  /** When the last fix came, by the clock of the phone. */
  heard = 0;
  /** When the stop ends that is counted down. */
  standing = 0;
  told: () => void = () => {};
  private bell = 0;
  private due = 0;
  private watch: number | undefined;
  private lock: WakeLockSentinel | undefined;
  private readonly seen = (): void => {
    this.note(document.hidden ? "hidden" : "shown");
    if (!document.hidden) void this.wake();
  };

  private constructor(readonly walk: Walk) {}

  /** A new walk. */
  static async begin(title: string): Promise<Recorder> {
    const walk: Walk = { id: crypto.randomUUID(), title, began: Date.now(), device: navigator.userAgent };
    const own = new Recorder(walk);
    await keepWalk(walk).catch(() => (own.unkept += 1));
    return own;
  }

  /** A walk that was kept, with all that was written of it. */
  static async again(walk: Walk): Promise<Recorder> {
    const own = new Recorder(walk);
    Object.assign(own, await stepsOf(walk.id));
    return own;
  }

  start(): void {
    if (this.running) return;
    this.running = true;
    this.heard = Date.now();
    this.note("begin");
    document.addEventListener("visibilitychange", this.seen);
    void navigator.storage?.persist?.().catch(() => false);
    void this.wake();
    if (!("geolocation" in navigator)) this.fail("This browser has no receiver.");
    else this.watch = navigator.geolocation.watchPosition((p) => this.take(p), (e) => this.fail(e.message), { enableHighAccuracy: true, maximumAge: 0, timeout: 60_000 });
  }

  stop(): void {
    if (!this.running) return;
    this.running = false;
    this.stood();
    this.note("end");
    if (this.watch !== undefined) navigator.geolocation.clearWatch(this.watch);
    document.removeEventListener("visibilitychange", this.seen);
    void this.lock?.release().catch(() => undefined);
    this.awake = false;
    this.told();
  }

  /** Something that happened now, or at the time of the last fix where the receiver's clock is ahead. */
  note(what: Happening["what"], name?: string, latest = Infinity): void {
    const event: Happening = { t: Math.min(Math.max(Date.now(), this.fixes.at(-1)?.[0] ?? 0), latest), what, ...(name ? { name } : {}) };
    this.events.push(event);
    this.write({ walk: this.walk.id, event });
    this.told();
  }

  /** Counts a stop down, whichever view is looked at meanwhile. */
  stand(seconds: number): void {
    this.standing = Date.now() + 1000 * seconds;
    this.bell = window.setTimeout(() => this.stood(), 1000 * seconds);
    this.note("stand");
    this.due = (this.events.at(-1)?.t ?? 0) + 1000 * seconds;
  }

  /** The stop is over. A phone that slept hears its bell late: the stop ended when its time was over. */
  stood(): void {
    if (!this.standing) return;
    clearTimeout(this.bell);
    this.standing = 0;
    navigator.vibrate?.(400);
    this.note("stood", undefined, this.due);
  }

  private take(position: GeolocationPosition): void {
    const { latitude, longitude, accuracy, altitude, altitudeAccuracy } = position.coords;
    const fix: Fix = [position.timestamp, latitude, longitude, accuracy ?? null, altitude ?? null, altitudeAccuracy ?? null];
    // Some browsers hand out the last fix again.
    if (this.fixes.at(-1)?.[0] === fix[0]) return;
    this.fixes.push(fix);
    this.write({ walk: this.walk.id, fix });
    this.heard = Date.now();
    this.trouble = "";
    this.told();
  }

  private fail(why: string): void {
    this.trouble = why;
    this.told();
  }

  private write(step: Parameters<typeof keepStep>[0]): void {
    this.writing += 1;
    const done = (lost: 0 | 1) => (): void => {
      this.writing -= 1;
      this.unkept += lost;
      this.told();
    };
    keepStep(step).then(done(0), done(1));
  }

  private async wake(): Promise<void> {
    if (!("wakeLock" in navigator) || !this.running) return;
    try {
      this.lock = await navigator.wakeLock.request("screen");
      this.awake = true;
      this.lock.addEventListener("release", () => {
        this.awake = false;
        this.told();
      });
    } catch {
      this.awake = false;
    }
    this.told();
  }
}
