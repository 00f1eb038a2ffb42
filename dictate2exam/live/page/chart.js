// The chart: drawn once from the plan, then only the cells that changed are filled, each in place.

import { $, make, put, unseen } from "./dom.js";

const STATES = {
  accepted: { sign: "", word: "heard clearly" },
  to_confirm: { sign: "?", word: "asked about" },
  confirmed: { sign: "✓", word: "confirmed" },
};
const SIDES = ["right", "left"];
const MODALITIES = { pin: "pin" }; // touch goes without saying
const CELL_WIDTH = 3.4; // of the characters' own height, with several values in it

export class Chart {
  /**
   * @param plan blocks, words and the place of every item, from the server
   * @param required the items that the protocol asks for
   */
  constructor(plan, required) {
    this.plan = plan;
    this.required = new Set(required);
    this.rows = new Map(); // "block:row" -> row drawn
    this.spares = new Map(); // item without a row of its own -> "block:row"
    this.last = new Set();
    this.draw();
  }

  draw() {
    this.tables = this.plan.blocks.map((block, b) => ({ block, table: this.block(block, b) }));
    this.legend = make("p", { id: "legend" });
    for (const [name, { sign, word }] of Object.entries(STATES)) {
      this.legend.append(make("span", { class: `value ${name}` }, `4${sign}`), ` ${word} `);
    }
    this.legend.append(make("span", { class: "value abnormal" }, "3"), " abnormal ");
    this.legend.append(make("span", { class: "blank" }, "·"), " not examined");
    this.rest = make("b", {}, "");
    this.legend.prepend(this.rest);
    const upright = matchMedia("(max-aspect-ratio: 1/1)");
    upright.addEventListener("change", () => this.place(upright.matches));
    this.place(upright.matches);
  }

  // On an upright screen the same blocks stand in fewer columns.
  place(upright) {
    const columns = new Map();
    for (const { block, table } of this.tables) {
      const column = upright ? block.upright : block.column;
      columns.set(column, [...(columns.get(column) ?? []), table]);
    }
    const made = [...columns].sort(([one], [other]) => one - other).map(([, tables]) => tables);
    const long = (tables) => tables.reduce((sum, table) => sum + table.rows.length, 0);
    $("chart").replaceChildren(...made.map((tables) => make("div", { class: "column" }, ...tables)), this.legend);
    $("chart").style.setProperty("--rows", Math.max(...made.map(long)));
    $("chart").style.setProperty("--columns", made.length);
  }

  block(block, b) {
    const body = make("tbody");
    block.rows.forEach((row, r) => body.append(this.row(b, r, row)));
    for (let n = 0; n < block.spare; n += 1) body.append(this.row(b, block.rows.length + n));
    const sided = block.rows.some((row) => !row.wide) || block.spare;
    const head = make("tr", {}, make("th", sided ? { scope: "col" } : { colspan: 3 }, block.label));
    if (sided) head.append(...["Right", "Left"].map((side) => make("th", { scope: "col" }, side)));
    const widths = make("colgroup", {}, make("col", { class: "name" }), make("col"), make("col"));
    return make("table", { "aria-label": block.label }, widths, make("thead", {}, head), body);
  }

  row(b, r, plan) {
    const label = make("span", { class: "label", "aria-hidden": "true" });
    const full = unseen("");
    const noside = make("span", { class: "noside" });
    const head = make("th", { scope: "row" }, label, full, noside);
    const element = make("tr", { class: plan?.wide ? "wide" : "" }, head);
    const cells = {};
    for (const side of plan?.wide ? ["none"] : SIDES) {
      cells[side] = make("td", plan?.wide ? { colspan: 2 } : {});
      element.append(cells[side]);
    }
    cells.none ??= noside;
    const row = { element, label, full, cells, plan, drawn: {}, item: plan?.item };
    this.rows.set(`${b}:${r}`, row);
    this.name(row, plan?.item, plan?.label);
    for (const side of Object.keys(cells)) this.fill(row, side, []);
    return element;
  }

  name(row, item, short) {
    row.item = item;
    const full = item ? this.plan.places[item].label : "";
    put(row.label, short ?? full);
    put(row.full, full);
    row.label.classList.toggle("long", row.label.textContent.length > 13);
    row.label.classList.toggle("longer", row.label.textContent.length > 28);
    row.label.title = full;
    const parts = Object.values(row.plan?.parts ?? {});
    row.element.classList.toggle("empty", !item);
    row.required = [item, ...parts].filter((one) => this.required.has(one));
    row.element.classList.toggle("due", row.required.length > 0);
  }

  /** Shows the whole state; only what differs from what is drawn is touched. */
  show({ rows, changed, left }) {
    const due = new Set(left);
    const wanted = new Map();
    let hidden = 0;
    for (const found of rows) {
      const place = this.plan.places[found.item];
      const key = place.row < 0 ? this.spare(found, place) : `${place.block}:${place.row}`;
      if (!key) {
        hidden += 1;
        continue;
      }
      for (const side of ["right", "left", "none"]) {
        if (!found[side]) continue;
        const target = this.rows.get(key).cells[side] ? side : "none";
        const at = `${key}:${target}`;
        if (!wanted.has(at)) wanted.set(at, []);
        wanted.get(at).push({ item: found.item, place, cell: found[side] });
      }
    }
    put(this.rest, hidden ? `${hidden} more found: see All. ` : "");
    if (changed.length) this.last = new Set(changed);
    for (const [key, row] of this.rows) {
      row.element.classList.toggle("due", row.required.some((item) => due.has(item)));
      for (const side of Object.keys(row.cells)) {
        this.fill(row, side, wanted.get(`${key}:${side}`) ?? []);
      }
    }
  }

  // An item without a row takes a spare one, else an optional row of its column that nothing was
  // found for. It keeps it for as long as the page is open, so that nothing moves.
  spare(found, place) {
    const { item } = found;
    if (this.spares.has(item)) return this.spares.get(item);
    const { column } = this.plan.blocks[place.block];
    const near = [...this.rows.entries()]
      .map(([key, row], index) => ({ key, row, index, far: distance(key, place.block) }))
      .filter(({ key }) => this.plan.blocks[key.split(":")[0]].column === column)
      .sort((one, other) => one.far - other.far);
    const free =
      near.find(({ row }) => !row.item) ??
      near
        .filter(({ row }) => this.lendable(row))
        .sort((one, other) => one.far - other.far || other.index - one.index)[0];
    if (!free) return undefined;
    const { key, row } = free;
    this.spares.set(item, key);
    row.plan = undefined;
    row.element.classList.add("lent");
    row.drawn = {}; // so that its empty cells are marked as such
    this.name(row, item);
    return key;
  }

  lendable(row) {
    return (
      row.plan && !row.plan.wide && !Object.keys(row.plan.parts).length && !row.required.length &&
      Object.values(row.drawn).every((drawn) => drawn === "[]")
    );
  }

  fill(row, side, entries) {
    const fresh = entries.map(({ cell }) => this.last.has(cell.finding_id));
    const drawn = JSON.stringify(entries.map((entry, n) => [entry.item, entry.cell, fresh[n]]));
    if (row.drawn[side] === drawn) return;
    row.drawn[side] = drawn;
    const target = row.cells[side];
    const sideless = target.classList.contains("noside");
    if (!entries.length) {
      target.replaceChildren();
      target.classList.remove("fresh", "stacked");
      if (row.item && !sideless) {
        target.append(make("span", { class: "blank", "aria-hidden": "true" }, "·"));
        target.append(unseen("not examined"));
      }
      return;
    }
    const main = entries
      .filter((entry) => !entry.place.beside)
      .flatMap((entry) => [entry.cell, ...entry.cell.more].map((cell) => ({ ...entry, cell })));
    const beside = entries.filter((entry) => entry.place.beside);
    const values = make("span", { class: main.length > 1 ? "values many" : "values" });
    const notes = make("span", { class: "notes" });
    for (const { item, place, cell } of main) values.append(this.value(item, place, cell));
    for (const { item, cell } of beside) notes.append(this.note(item, cell, notes));
    if (main.length > 1) values.style.fontSize = `${shrunk(values)}em`;
    target.replaceChildren(values);
    if (notes.childNodes.length) target.append(notes);
    if (sideless) target.append("side?");
    target.classList.toggle("stacked", main.length > 1 && beside.length > 0);
    target.classList.toggle("fresh", fresh.some(Boolean));
  }

  value(item, place, cell) {
    const { sign, word } = STATES[cell.state];
    const kind = item.split(".")[0];
    const short = this.plan.words[kind]?.[cell.value] ?? shortText(cell);
    const classes = ["value", cell.state, cell.abnormal ? "abnormal" : "", /^\d/.test(short) ? "" : "word"];
    const seen = make("span", { "aria-hidden": "true" });
    const letter = place.part || MODALITIES[cell.detail.modality];
    if (letter) seen.append(make("span", { class: "letter" }, letter));
    seen.append(short, make("span", { class: "sign" }, sign));
    const how = cell.detail.modality ? `, ${cell.detail.modality}` : "";
    const said = unseen(`${cell.said}${how}, ${word}${cell.abnormal ? ", abnormal" : ""}. `);
    return make("span", { class: classes.join(" "), title: `${cell.said} (“${cell.heard}”)` }, seen, said);
  }

  // What is the same of two parts (wasted, wasted) is shown once, and said of each.
  note(item, cell, notes) {
    const kind = item.split(".")[0];
    const { sign, word } = STATES[cell.state];
    const short = (this.plan.beside[kind] ?? this.plan.words[kind])?.[cell.value] ?? cell.text;
    const text = short + sign;
    const again = [...notes.childNodes].some((one) => one.firstChild.textContent === text);
    const seen = make("span", { "aria-hidden": "true", hidden: again }, text);
    return make("span", { class: cell.state, title: cell.said }, seen, unseen(`${cell.said}, ${word}. `));
  }
}

// "8/10" as 8 under a heading that says so; any other scale is written out.
function shortText(cell) {
  return cell.scale === "ten" ? cell.value : cell.text;
}

// No value may ever be cut off: several in one cell are as small as they have to be.
function shrunk(values) {
  const widths = [...values.children].map((value) => {
    const letter = value.querySelector(".letter")?.textContent.length ?? 0;
    const digits = value.firstChild.textContent.length - letter;
    return digits * 0.7 + letter * 0.45 + 0.4;
  });
  return Math.min(widths.length > 2 ? 0.7 : 0.85, CELL_WIDTH / widths.reduce((sum, width) => sum + width, 0)).toFixed(2);
}

function distance(key, block) {
  return Math.abs(Number(key.split(":")[0]) - block);
}
