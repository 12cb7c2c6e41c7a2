// Back to a mark: how far and in which direction, and how well this receiver can tell; every figure is the program's.
import { type Places, places } from "./afield";
import { button, fill, h } from "./dom";
import type { Site } from "./site";
import { Task } from "./task";
import type { Page } from "./views";
import type { Named } from "./wire";

const SVG = "http://www.w3.org/2000/svg";
/** A new position is asked about no more often. */
const REST_MS = 1500;

type Turned = DeviceOrientationEvent & { webkitCompassHeading?: number };
type Asking = { requestPermission?: () => Promise<string> };

export function back(_page: Page, site: Site): HTMLElement {
  const task = new Task();
  const list = h("ul", { class: "places" });
  const doubt = h("p", { class: "hint", role: "status" });
  const alarm = h("p", { class: "alarm", role: "alert" });
  const body = h("div", { class: "field-view" });
  const files = waypoints(site);
  const units = site.value("", 0, "units");
  let watch: number | undefined;
  let asking = false;
  let asked = 0;
  let heading: number | undefined;
  let now: Places | undefined;

  const draw = (): void => {
    if (!now) return;
    fill(doubt, `${now.doubt} ${heading === undefined ? "The arrows point as on a map: north is up." : "The arrows turn with the phone."}`);
    fill(list, ...now.places.map((p) => h("li", { class: p.here ? "here" : undefined }, arrow(p.bearing_deg - (heading ?? 0), p.here), h("span", {}, h("b", {}, p.name), h("small", {}, p.text)))));
  };
  const take = async (position: GeolocationPosition): Promise<void> => {
    if (!body.isConnected) return leave();
    if (asking || Date.now() - asked < REST_MS) return;
    asking = true;
    asked = Date.now();
    const { latitude, longitude, accuracy } = position.coords;
    try {
      now = await places(files, latitude, longitude, accuracy, typeof units === "string" ? units : "");
      fill(alarm);
      draw();
    } catch (why) {
      task.tell(why);
    } finally {
      asking = false;
    }
  };
  const turned = (event: Event): void => {
    const { webkitCompassHeading, alpha, absolute } = event as Turned;
    const next = webkitCompassHeading ?? (absolute && alpha !== null ? 360 - alpha : undefined);
    if (next === undefined || (heading !== undefined && Math.abs(next - heading) < 3)) return;
    heading = next;
    draw();
  };
  const leave = (): void => {
    if (watch !== undefined) navigator.geolocation.clearWatch(watch);
    removeEventListener("deviceorientationabsolute", turned);
    removeEventListener("deviceorientation", turned);
  };
  const start = (): void => {
    // Some phones ask before they tell where they point, and only on a tap.
    const asks = (window.DeviceOrientationEvent as unknown as Asking | undefined)?.requestPermission;
    void Promise.resolve(asks?.call(window.DeviceOrientationEvent) ?? "granted").then(() => {
      addEventListener("deviceorientationabsolute", turned);
      addEventListener("deviceorientation", turned);
    }, () => undefined);
    watch ??= navigator.geolocation.watchPosition((p) => void take(p), (e) => fill(alarm, e.message), { enableHighAccuracy: true, maximumAge: 0 });
    begin.hidden = true;
  };
  const begin = button("Show the way", start, { class: "main large" });
  fill(body, files.length > 0 ? begin : h("p", {}, "This site has no marks with a position yet."), alarm, task.box, doubt, list);
  return body;
}

/** Files that hold waypoints: the marks of the results, and the walks themselves. */
function waypoints(site: Site): Named[] {
  const results = site.record.results.filter((f) => f.path.endsWith("/marks.gpx")).map((f, i) => ({ path: `marks-${i}.gpx`, bytes: f.bytes }));
  return [...results, ...site.record.files.filter((f) => f.path.toLowerCase().endsWith(".gpx"))];
}

function arrow(turn: number, here: boolean): SVGElement {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", "-12 -12 24 24");
  svg.setAttribute("class", "arrow");
  svg.setAttribute("aria-hidden", "true");
  const path = document.createElementNS(SVG, "path");
  path.setAttribute("d", here ? "M-8 0a8 8 0 1 0 16 0a8 8 0 1 0-16 0" : "M0-10 7 9 0 4-7 9z");
  path.setAttribute("transform", `rotate(${turn.toFixed(0)})`);
  svg.append(path);
  return svg;
}
