"use strict";
(() => {
  const all = (q, of = document) => Array.from(of.querySelectorAll(q));
  const data = JSON.parse(document.getElementById("figures").textContent);
  const shown = (key, i) => {
    const v = data.rows[key].values[i];
    if (v === null || v === undefined) return "";
    const r = data.rows[key];
    const t = (v / r.size).toFixed(r.decimals);
    return (/[1-9]/.test(t) ? t : t.replace("-", "")) + " " + r.unit;
  };
  const stations = data.along;
  const slider = document.getElementById("at");
  const read = document.getElementById("read");
  const NS = "http://www.w3.org/2000/svg";
  const cursors = all("figure[data-sheet]").map((figure) => {
    const svg = figure.querySelector("svg");
    const frame = data.sheets[Number(figure.dataset.sheet)];
    const g = document.createElementNS(NS, "g");
    const line = document.createElementNS(NS, "path");
    const dot = document.createElementNS(NS, "circle");
    line.setAttribute("stroke", "#b0005a");
    line.setAttribute("stroke-width", "0.5");
    dot.setAttribute("r", "1.3");
    dot.setAttribute("fill", "#b0005a");
    g.append(line, dot);
    g.setAttribute("class", "cursor");
    g.setAttribute("visibility", "hidden");
    g.setAttribute("pointer-events", "none");
    svg.append(g);
    return { svg, frame, g, line, dot };
  });
  const show = (i) => {
    slider.value = String(i);
    read.replaceChildren(...Object.keys(data.rows).filter((k) => shown(k, i) !== "").map((k) => {
      const s = document.createElement("span");
      const b = document.createElement("b");
      b.textContent = shown(k, i);
      b.dataset.key = k;
      s.append(data.rows[k].head + " ", b);
      return s;
    }));
    slider.setAttribute("aria-valuetext", read.textContent);
    const s = stations[i], z = data.rows.height.values[i];
    for (const c of cursors) {
      const f = c.frame;
      if (s < f.from || s > f.to) { c.g.setAttribute("visibility", "hidden"); continue; }
      const x = f.left + (s - f.from) * f.across, y = f.bottom - (z - f.base) * f.up;
      c.line.setAttribute("d", "M" + x + " " + f.top + "V" + f.bottom);
      c.dot.setAttribute("cx", x);
      c.dot.setAttribute("cy", y);
      c.g.setAttribute("visibility", "visible");
    }
  };
  const nearest = (s) => {
    let low = 0, high = stations.length - 1;
    while (high - low > 1) { const m = (low + high) >> 1; if (stations[m] <= s) low = m; else high = m; }
    return s - stations[low] <= stations[high] - s ? low : high;
  };
  if (slider) {
    slider.max = String(stations.length - 1);
    slider.addEventListener("input", () => show(Number(slider.value)));
    for (const c of cursors) {
      const point = (e) => {
        const m = c.svg.getScreenCTM();
        if (!m) return;
        const x = (e.clientX - m.e) / m.a;
        const s = c.frame.from + (x - c.frame.left) / c.frame.across;
        if (s >= c.frame.from - 2 / c.frame.across && s <= c.frame.to + 2 / c.frame.across) show(nearest(s));
      };
      c.svg.addEventListener("pointermove", point);
      c.svg.addEventListener("pointerdown", (e) => {
        point(e);
        const along = document.getElementById("along");
        if (along && c.svg.closest(".strip") && !e.target.closest("a")) along.open = true;
      });
    }
    show(0);
  }
  // Larger and smaller; a sheet that is larger than its window is moved by dragging or scrolling.
  for (const figure of all("figure.drawing")) {
    const pane = figure.querySelector(".sheet"), svg = figure.querySelector("svg");
    let size = window.innerWidth < 700 ? 2.5 : 1;
    const set = (to) => {
      const middle = (pane.scrollLeft + pane.clientWidth / 2) / Math.max(1, pane.scrollWidth);
      const level = (pane.scrollTop + pane.clientHeight / 2) / Math.max(1, pane.scrollHeight);
      size = Math.min(8, Math.max(1, to));
      svg.style.width = size * 100 + "%";
      pane.scrollLeft = middle * pane.scrollWidth - pane.clientWidth / 2;
      pane.scrollTop = level * pane.scrollHeight - pane.clientHeight / 2;
      pane.classList.toggle("grab", size > 1);
    };
    set(size);
    pane.scrollLeft = 0;
    pane.scrollTop = 0;
    for (const b of all("button[data-by]", figure)) b.addEventListener("click", () => set(b.dataset.by === "0" ? 1 : size * Number(b.dataset.by)));
    let from = null;
    pane.addEventListener("pointerdown", (e) => { if (e.pointerType === "mouse" && size > 1) { from = [e.clientX + pane.scrollLeft, e.clientY + pane.scrollTop]; } });
    window.addEventListener("pointermove", (e) => { if (from) { pane.scrollLeft = from[0] - e.clientX; pane.scrollTop = from[1] - e.clientY; e.preventDefault(); } });
    window.addEventListener("pointerup", () => { from = null; });
    pane.addEventListener("wheel", (e) => { if (e.ctrlKey) { e.preventDefault(); set(size * (e.deltaY < 0 ? 1.2 : 1 / 1.2)); } }, { passive: false });
    pane.addEventListener("keydown", (e) => { if (e.key === "+" || e.key === "=") set(size * 1.5); else if (e.key === "-") set(size / 1.5); else if (e.key === "0") set(1); });
  }
  // Tables sort by a head: figures by their value, words by the alphabet.
  const sortable = (table) => all("thead th", table).forEach((th, column) => {
    // A column without a head is not sorted by.
    if (!th.textContent.trim()) return;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = th.textContent;
    th.replaceChildren(button);
    button.addEventListener("click", () => {
      const up = th.getAttribute("aria-sort") !== "ascending";
      all("th", table).forEach((o) => o.removeAttribute("aria-sort"));
      th.setAttribute("aria-sort", up ? "ascending" : "descending");
      const body = table.tBodies[0];
      const value = (row) => { const c = row.cells[column]; return c.dataset.v !== undefined ? Number(c.dataset.v) : c.textContent; };
      Array.from(body.rows).sort((a, b) => {
        const x = value(a), y = value(b);
        const d = typeof x === "number" && typeof y === "number" ? x - y : String(x).localeCompare(String(y), undefined, { numeric: true });
        return up ? d : -d;
      }).forEach((row) => body.append(row));
    });
  });
  all("table:not(.still)").forEach(sortable);
  // Every station, written out only when it is asked for.
  const every = document.getElementById("every");
  if (every) every.addEventListener("toggle", () => {
    const pane = every.querySelector(".wide");
    if (!every.open || pane.firstChild) return;
    const keys = Object.keys(data.rows).filter((k) => data.rows[k].values.some((v) => v !== null));
    const table = document.createElement("table"), head = table.createTHead().insertRow(), body = table.createTBody();
    keys.forEach((k) => { const th = document.createElement("th"); th.className = "n"; th.scope = "col"; th.textContent = data.rows[k].head; head.append(th); });
    stations.forEach((_, i) => { const row = body.insertRow(); keys.forEach((k) => { const c = row.insertCell(); c.className = "n"; c.textContent = shown(k, i); const v = data.rows[k].values[i]; if (v !== null) c.dataset.v = v; }); });
    sortable(table);
    pane.append(table);
  });
  // Where a link leads is unfolded first, and the way back is offered beside the pictures.
  const unfold = (e) => { for (let d = e; d; d = d.parentElement) if (d.tagName === "DETAILS") d.open = true; };
  const goTo = () => {
    const id = decodeURIComponent(location.hash.slice(1));
    const there = id && document.getElementById(id);
    all(".back").forEach((p) => { p.hidden = true; });
    all(".spot.shown").forEach((g) => g.classList.remove("shown"));
    if (!there) return;
    unfold(there);
    const of = /^(?:at|plan)-(F?)(\w+)$/.exec(id);
    if (of && there.classList.contains("spot")) {
      const from = of[1] + of[2], source = document.getElementById(of[1] ? from : "mark-" + from);
      // The same place on the other picture.
      all("#at-" + from + ",#plan-" + from).forEach((g) => g.classList.add("shown"));
      const back = there.closest("figure").nextElementSibling;
      const line = back && back.classList.contains("back") ? back : there.closest("figure").parentElement.querySelector(".back");
      if (source && line) {
        const a = document.createElement("a");
        const name = of[1] ? source.parentElement.querySelector("summary").textContent : from;
        a.href = "#" + source.id;
        a.textContent = "Back to " + name;
        line.replaceChildren(a);
        line.hidden = false;
      }
      there.closest("figure").scrollIntoView({ block: "start" });
    } else there.scrollIntoView({ block: there.tagName === "TD" || there.parentElement.classList.contains("finding") ? "center" : "start" });
  };
  window.addEventListener("hashchange", goTo);
  // A link to where the reader is already leads there again.
  document.addEventListener("click", (e) => { const a = e.target.closest && e.target.closest("a"); if (a && a.getAttribute("href") === location.hash) goTo(); });
  goTo();
  // On paper what is built from is open; notes and long tables stay folded.
  const printed = () => all("details.paper,details.finding");
  window.addEventListener("beforeprint", () => printed().forEach((d) => { d.dataset.was = d.open ? "1" : ""; d.open = true; }));
  window.addEventListener("afterprint", () => printed().forEach((d) => { d.open = d.dataset.was === "1"; }));
})();
