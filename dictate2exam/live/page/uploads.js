// Files dropped after clinic: sent one after another, with how far each is and how long it takes.

import { ask, clock, make, put } from "./dom.js";

const EVERY = 1000; // ms between looks at the progress
const STATES = {
  waiting: "waits", working: "is read", done: "done", failed: "could not be read", given_up: "given up",
};

export class Uploads {
  constructor(start, open, finished) {
    this.start = start;
    this.open = open;
    this.finished = finished;
    this.rows = new Map();
    this.body = make("tbody");
    this.problem = make("p", { class: "problem", role: "alert" });
    const input = make("input", { type: "file", id: "files", multiple: true, accept: start.upload_types.join(",") });
    input.addEventListener("change", () => this.take([...input.files]));
    const zone = make("div", { class: "drop" },
      make("p", {}, make("label", { for: "files" }, "Drop recordings or transcripts here, or choose them"), input),
      make("p", {}, make("small", {}, `${start.upload_types.join(" ")}, at most ${Math.round(start.upload_bytes / 2 ** 20)} MB each. Each file is an examination.`)));
    for (const name of ["dragover", "dragleave", "drop"]) {
      zone.addEventListener(name, (event) => {
        event.preventDefault();
        zone.classList.toggle("over", name === "dragover");
      });
    }
    zone.addEventListener("drop", (event) => this.take([...event.dataTransfer.files]));
    this.table = make("table", { "aria-label": "Files" }, this.body);
    this.element = make("section", { "aria-labelledby": "after-title" },
      make("h2", { id: "after-title" }, "After clinic"), zone, this.problem, this.table);
  }

  async take(files) {
    const problems = [];
    this.awaited = undefined;
    for (const file of files) {
      const problem = this.refused(file);
      if (problem) problems.push(problem);
      else await this.send(file, files.length === 1).catch((error) => problems.push(`${file.name}: ${error.message}`));
    }
    put(this.problem, problems.join(" "));
    await this.refresh();
  }

  refused(file) {
    const known = this.start.upload_types.some((type) => file.name.toLowerCase().endsWith(type));
    if (!known) return `${file.name} is no type of file that can be read here.`;
    return file.size > this.start.upload_bytes ? `${file.name} is too large.` : "";
  }

  /** @param opens whether its record is opened as soon as it is finished */
  async send(file, opens) {
    const side = document.querySelector("input[name=side]:checked")?.value ?? "none";
    const protocol = document.getElementById("protocol")?.value ?? "";
    const query = new URLSearchParams({ name: file.name, protocol, side });
    const headers = { "Content-Type": "application/octet-stream" };
    const { upload } = await ask(`/api/uploads?${query}`, { method: "POST", headers, body: file });
    if (opens) this.awaited = upload;
    await this.refresh();
  }

  async refresh() {
    clearTimeout(this.timer);
    const uploads = await ask("/api/uploads").catch(() => []);
    for (const upload of uploads) this.draw(upload);
    if (uploads.some(({ state }) => ["waiting", "working"].includes(state))) {
      this.timer = setTimeout(() => this.element.isConnected && this.refresh(), EVERY);
    }
  }

  draw(upload) {
    let row = this.rows.get(upload.upload);
    if (!row) {
      const bar = make("progress", { max: 1, "aria-label": `Progress of ${upload.name}` });
      row = { bar, text: make("span"), button: make("td"), state: "" };
      this.rows.set(upload.upload, row);
      this.body.append(make("tr", { class: "upload" },
        make("th", { scope: "row", class: "name" }, upload.name), make("td", {}, bar, row.text), row.button));
    }
    row.bar.value = upload.share;
    put(row.text, sentence(upload));
    if (row.state === upload.state) return;
    row.state = upload.state;
    row.button.replaceChildren();
    if (upload.state === "done") {
      row.button.append(this.button("Open for review", upload.name, () => this.open(upload.exam)));
      this.finished();
      if (upload.upload === this.awaited) this.open(upload.exam);
    } else if (["waiting", "working"].includes(upload.state)) {
      row.button.append(this.button("Stop", upload.name, async () => {
        await ask(`/api/uploads/${encodeURIComponent(upload.upload)}`, { method: "DELETE" }).catch(() => {});
        await this.refresh();
      }));
    }
  }

  button(text, name, onclick) {
    return make("button", { type: "button", "aria-label": `${text}: ${name}`, onclick }, text);
  }
}

function sentence({ state, stage, share, speed, left_s: left, message }) {
  if (state !== "working") return message || STATES[state];
  const parts = [`${Math.round(100 * share)}%`];
  if (stage) parts.push(stage);
  if (speed) parts.push(`${speed.toFixed(1)} times as fast as spoken`);
  if (left !== null && left !== undefined) parts.push(`${clock(left)} left`);
  return parts.join(", ");
}
