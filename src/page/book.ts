// A book kept row by row: the program carries every row and checks the page; this asks for figures and shows what it says.
import { type Carried, type Sheets, bytes, carried, sheets } from "./afield";
import { button, fill, fresh, h } from "./dom";
import { save, share, shareable } from "./files";
import { faultBox } from "./form";
import { keypad } from "./keypad";
import { Task } from "./task";
import { type Book, books, keepBook, removeBook } from "./trail";
import type { Page } from "./views";

type Kind = Sheets["books"][number];

const quoted = (cell: string): string => (/[",\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);

/** The book as its file. */
function csv(kind: Kind, rows: string[][]): string {
  return [kind.columns.map((c) => c.head), ...rows].map((row) => row.map(quoted).join(",")).join("\n") + "\n";
}

export function booking(page: Page): HTMLElement {
  const body = h("div", { class: "field-view" });
  void choosing(page, body);
  return body;
}

async function choosing(page: Page, body: HTMLElement): Promise<void> {
  const kept = await books().catch(() => []);
  const said = page.site?.value("", 0, "units");
  let units = typeof said === "string" ? said : "";
  const list = h("div", { class: "actions" });
  const draw = async (): Promise<void> => {
    const known = await sheets(units);
    fill(list, ...known.books.map((kind) => button(kind.title, () => {
      const book: Book = { id: crypto.randomUUID(), file: kind.file, units, began: Date.now(), changed: Date.now(), rows: [], draft: [] };
      open(page, body, kind, book);
    })));
  };
  const feet = h("input", { type: "checkbox", onchange: () => {
    units = feet.checked ? "us" : "";
    void draw();
  } });
  feet.checked = units === "us";
  const again = (book: Book): void => void sheets(book.units).then((known) => {
    const kind = known.books.find((k) => k.file === book.file);
    if (kind) open(page, body, kind, book);
  });
  const rows = kept.map((book) => h("li", {}, button(`${book.file}, ${book.rows.length} rows`, () => again(book), { class: "kept" }), h("small", {}, new Date(book.changed).toLocaleString())));
  fill(
    body,
    h("label", { class: "check" }, feet, "In feet"),
    list,
    rows.length > 0 && h("section", { "aria-labelledby": "books" }, h("h2", { id: "books" }, "Books in this browser"), h("ul", { class: "keptlist" }, ...rows)),
  );
  await draw();
}

function open(page: Page, body: HTMLElement, kind: Kind, book: Book): void {
  const task = new Task();
  const table = h("div", { class: "wide", role: "region", tabindex: 0, "aria-label": kind.title });
  const check = h("div", { class: "check-line", role: "status" });
  const wrong = h("div", { role: "alert" });
  const told = h("div", {});
  const unkept = h("p", { class: "alarm", role: "alert" });
  const inputs: HTMLInputElement[] = [];
  let turn = 0;
  let own: Carried | undefined;

  const keep = (): void => {
    void keepBook(book).then(() => fill(unkept), () => fill(unkept, "This browser did not keep the last row: its storage is full or blocked. Save the CSV."));
  };
  const pad = keypad(() => go(turn + 1));
  const go = (to: number): void => {
    // The columns of words are left to those who want them.
    let next = to;
    while (next < inputs.length && kind.columns[next]?.words) next += 1;
    turn = next < inputs.length ? next : 0;
    inputs[turn]?.focus();
  };
  const fields = kind.columns.map((column, i) => {
    const id = fresh("cell");
    const input = h("input", {
      id,
      type: "text",
      inputmode: column.words ? "text" : "none",
      autocomplete: "off",
      autocapitalize: "off",
      spellcheck: "false",
      onfocus: () => {
        turn = i;
        pad.give(column.words ? undefined : input);
      },
      oninput: () => {
        book.draft = inputs.map((x) => x.value);
        keep();
      },
      onkeydown: (event: Event) => {
        if ((event as KeyboardEvent).key === "Enter") {
          event.preventDefault();
          enter();
        }
      },
    });
    input.value = book.draft[i] ?? "";
    inputs.push(input);
    return h("div", { class: column.words ? "cell words" : "cell" }, h("label", { for: id }, column.label), input);
  });
  const enter = (): void => {
    const row = inputs.map((x) => x.value.trim().replace(/^\u2212/, "-"));
    if (row.every((cell) => cell === "")) return;
    if (book.changing === undefined) book.rows.push(row);
    else book.rows[book.changing] = row;
    clear();
    void carry();
  };
  const clear = (): void => {
    delete book.changing;
    book.draft = [];
    for (const input of inputs) input.value = "";
    keep();
    name();
    go(0);
  };
  const put = button("", enter, { class: "main" });
  const name = (): void => fill(put, book.changing === undefined ? "Book the row" : `Correct row ${book.changing + 1}`);
  const change = (i: number): void => {
    book.changing = i;
    inputs.forEach((input, c) => (input.value = book.rows[i]?.[c] ?? ""));
    book.draft = inputs.map((x) => x.value);
    keep();
    name();
    go(0);
  };
  const takeOut = (): void => {
    book.rows.pop();
    clear();
    void carry();
  };
  const carry = async (): Promise<void> => {
    if (book.rows.length === 0) own = undefined;
    draw();
    if (book.rows.length === 0) return;
    const rows = book.rows.length;
    own = await task.watch(() => carried(kind.file, csv(kind, book.rows)));
    if (own && rows === book.rows.length) draw();
  };
  const draw = (): void => {
    const used = kind.columns.map((_, c) => book.rows.some((r) => r[c]));
    const heads = kind.columns.filter((_, c) => used[c]);
    const extra = [...new Set((own?.rows ?? []).flatMap((r) => r.cells.map((c) => c.what)))];
    // The first row of the sheet stands on line 2 of its file.
    const lines = book.rows.map((row, i) => {
      const gives = own?.rows.find((r) => r.line === i + 2);
      const wrong = own?.faults.some((f) => f.place.line === i + 2) ?? false;
      const cells = row.filter((_, c) => used[c]).map((t) => h("td", {}, t));
      const more = extra.map((what) => h("td", { class: "carried" }, gives?.cells.find((c) => c.what === what)?.shown ?? ""));
      return h("tr", { class: wrong ? "wrong" : undefined, "data-row": i }, h("th", { scope: "row" }, button(String(i + 1), () => change(i), { class: "link", "aria-label": `change row ${i + 1}` })), ...cells, ...more);
    });
    const titles = [...heads.map((c) => c.label), ...extra];
    fill(table, book.rows.length > 0 && h("table", {}, h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "row"), ...titles.map((t) => h("th", { scope: "col" }, t)))), h("tbody", {}, ...lines)));
    table.scrollTop = table.scrollHeight;
    const end = own?.rows.at(-1);
    const carry = end && [`row ${end.line - 1}`, ...end.cells.map((c) => `${c.what} ${c.shown}`)].join(", ");
    fill(check, carry && h("p", { class: "carry" }, carry), ...[own?.check, own?.next, own?.lacking].map((t) => t && h("p", {}, t)));
    check.classList.toggle("holds", own?.misclosure?.holds ?? false);
    const said = (own?.said ?? []).filter((s) => s.text !== own?.check);
    // The place is told as on this page: by its row.
    fill(wrong, ...(own?.faults ?? []).map((f) => faultBox(f.place.line ? { ...f, place: {}, text: `row ${f.place.line - 1}: ${f.text}` } : f)));
    fill(told, said.length > 0 && h("ul", { class: "said" }, ...said.map((s) => h("li", {}, s.line ? h("b", {}, `row ${s.line - 1}: `) : "", s.text))));
  };
  const file = (): { path: string; bytes: Uint8Array<ArrayBuffer> } => ({ path: kind.file, bytes: bytes(csv(kind, book.rows)) });
  fill(
    body,
    h("p", { class: "of" }, kind.title),
    check,
    unkept,
    task.box,
    wrong,
    h("div", { class: "entry" }, ...fields),
    h("div", { class: "pad-row" }, pad.element, put),
    table,
    told,
    h("details", { class: "card" }, h("summary", {}, kind.title), ...kind.help.map((t) => h("p", { class: "hint" }, t))),
    h(
      "div",
      { class: "actions" },
      button("Remove the last row", takeOut, { class: "quiet" }),
      button("Use this book", () => page.take([file()]), { class: "main" }),
      button("Save the CSV", () => save(file().path, file().bytes)),
      shareable("a.csv", new Uint8Array(1)) && button("Share the CSV", () => void share(file().path, file().bytes)),
      button("Another book", () => void choosing(page, body)),
      button("Remove this book", () => void removeBook(book.id).then(() => choosing(page, body)), { class: "quiet" }),
    ),
  );
  name();
  void carry();
  go(0);
}
