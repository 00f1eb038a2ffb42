// What this browser remembers: microphone, speech output, and the keys of every action.

import { $, closing, make, put } from "./dom.js";

// Orders' own keys come from the server; these are the page's.
const PAGE_ACTIONS = {
  list: { does: "Show every finding with the words behind it.", key: "e" },
  location: { does: "Show the location so far, provisional.", key: "w" },
  help: { does: "Show the spoken orders and keys.", key: "h" },
  settings: { does: "Show the settings.", key: "," },
};
const NAMES = { " ": "Space", ",": "Comma" };

export function keyName(key) {
  return NAMES[key] ?? (key.length === 1 ? key.toUpperCase() : key);
}

export class Settings {
  constructor(orders) {
    this.actions = {};
    for (const { order, does, key } of orders) {
      this.actions[order] = { does, key };
    }
    Object.assign(this.actions, PAGE_ACTIONS);
    this.saved = JSON.parse(localStorage.getItem("settings") ?? "{}");
    this.changed = () => {};
  }

  get(name, otherwise) {
    return this.saved[name] ?? otherwise;
  }

  set(name, value) {
    this.saved[name] = value;
    localStorage.setItem("settings", JSON.stringify(this.saved));
    this.changed(name);
  }

  /** The keys of an action: one of the keyboard and, where set, one of a pedal. */
  keys(action) {
    const own = this.saved.keys?.[action] ?? {};
    return { key: own.key ?? this.actions[action]?.key ?? "", pedal: own.pedal ?? "" };
  }

  action(key) {
    return Object.keys(this.actions).find((action) => {
      const bound = this.keys(action);
      return same(bound.key, key) || same(bound.pedal, key);
    });
  }

  /** Whether a pedal types this key. */
  pedalled(key) {
    return Object.keys(this.actions).some((action) => same(this.keys(action).pedal, key));
  }

  /** Binds a key; whatever had it before loses it. */
  bind(action, place, key) {
    const all = { ...this.saved.keys };
    for (const other of Object.keys(this.actions)) {
      const bound = this.keys(other);
      for (const at of ["key", "pedal"]) if (same(bound[at], key)) bound[at] = "";
      all[other] = bound;
    }
    all[action] = { ...all[action], [place]: key };
    this.set("keys", all);
  }

  async open(microphone, devices, speaker) {
    const dialog = $("settings");
    dialog.replaceChildren(
      make("h2", { id: "settings-title" }, "Settings"),
      await microphoneChoice(this, microphone, devices),
      this.speech(speaker),
      this.bindings(),
      closing(dialog),
    );
    if (!dialog.open) dialog.showModal();
  }

  speech(speaker) {
    const box = make("input", { type: "checkbox", id: "aloud" });
    box.checked = this.get("aloud", false);
    box.disabled = !speaker.voice;
    box.addEventListener("change", () => this.set("aloud", box.checked));
    const why = speaker.voice
      ? "While it speaks, the microphone does not count."
      : "This browser has no English voice of its own on this machine.";
    return make("p", {}, box, make("label", { for: "aloud" }, "Answer aloud"), make("small", {}, why));
  }

  bindings() {
    const body = make("tbody");
    const status = make("p", { role: "status" });
    for (const [action, { does }] of Object.entries(this.actions)) {
      const line = make("tr", {}, make("th", { scope: "row" }, does));
      for (const place of ["key", "pedal"]) {
        const button = make("button", { type: "button" });
        const draw = () => {
          const key = this.keys(action)[place];
          put(button, key ? keyName(key) : "none");
          button.setAttribute("aria-label", `${place} for: ${does} Now ${button.textContent}.`);
        };
        draw();
        button.addEventListener("click", () => {
          put(status, `Press the ${place} for: ${does} Escape leaves it as it is.`);
          put(button, "press…");
          button.addEventListener("keydown", (event) => {
            event.preventDefault();
            event.stopPropagation();
            if (["Escape", "Tab"].includes(event.key)) put(status, "Nothing changed.");
            else {
              this.bind(action, place, event.key);
              put(status, `${keyName(event.key)} is now the ${place} for: ${does}`);
            }
            body.dispatchEvent(new Event("redraw"));
          }, { once: true });
        });
        body.addEventListener("redraw", draw);
        line.append(make("td", {}, button));
      }
      body.append(line);
    }
    const head = make("tr", {}, make("th", { scope: "col" }, "Action"),
      make("th", { scope: "col" }, "Key"), make("th", { scope: "col" }, "Pedal"));
    return make("div", {}, make("h3", {}, "Keys and pedal"),
      make("p", {}, "A foot pedal types a key: press Pedal's button here, then the pedal."),
      make("table", {}, make("thead", {}, head), body), status);
  }
}

/** A choice of microphone that opens the chosen one at once. */
export async function microphoneChoice(settings, microphone, devices) {
  const choice = make("select", { id: "device" });
  for (const [n, device] of (await devices()).entries()) {
    choice.append(make("option", { value: device.deviceId }, device.label || `Microphone ${n + 1}`));
  }
  if (!choice.options.length) choice.append(make("option", { value: "" }, "none found"));
  choice.value = settings.get("device", choice.options[0].value);
  if (choice.selectedIndex < 0) choice.selectedIndex = 0;
  const problem = make("span", { class: "problem", role: "alert" });
  choice.addEventListener("change", async () => {
    settings.set("device", choice.value);
    try {
      await microphone.open(choice.value);
      put(problem, "");
    } catch (error) {
      put(problem, error.message);
    }
  });
  return make("p", {}, make("label", { for: "device" }, "Microphone"), choice, problem);
}

function same(bound, key) {
  return Boolean(bound) && bound.toLowerCase() === key.toLowerCase();
}
