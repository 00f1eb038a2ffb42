// The bar: whether somebody is listened to, red flags, how much is done, and the buttons.

import { $, make, put } from "./dom.js";
import { keyName } from "./settings.js";

const BUTTONS = {
  pause: "Pause", show_left: "What is left", list: "Findings", location: "Location",
  finish: "Finish", help: "Orders", settings: "Settings",
};
// By phase: a sign, a word, and how it looks.
const PHASES = {
  consent: ["○", "Not recording", "off"], ready: ["○", "Ready: speak", "off"],
  listening: ["●", "Listening", "on"], paused: ["❚❚", "Paused", "held"],
  asking: ["?", "Questions", "on"], to_sign: ["✎", "To sign", "on"], signed: ["✓", "Signed", "off"],
};

export class Bar {
  constructor(settings) {
    this.settings = settings;
    this.buttons = {};
    this.lead = make("button", { type: "button", id: "take-over", "data-action": "lead", hidden: true }, make("span", {}, "Lead here"));
    for (const [action, text] of Object.entries(BUTTONS)) {
      const [word, key] = [make("span", {}, text), make("kbd", { "aria-hidden": "true" })];
      const button = make("button", { type: "button", id: `do-${action}`, "data-action": action }, word, key);
      this.buttons[action] = { button, word, key };
    }
    $("bar").querySelector("nav").replaceChildren(this.lead, ...Object.values(this.buttons).map(({ button }) => button));
    $("bar").hidden = false;
  }

  /** @param state phase, lead, led, troubles, running (the microphone), speaking, kept (seconds) */
  draw(state) {
    const [sign, word, look] = said(state);
    put($("status-sign"), sign);
    put($("status-word"), word);
    $("status").dataset.look = look;
    const { phase, lead, led, troubles } = state;
    const pause = this.buttons.pause;
    pause.button.dataset.action = phase === "paused" ? "go_on" : "pause";
    put(pause.word, phase === "paused" ? "Go on" : "Pause");
    put(this.buttons.finish.word, phase === "asking" ? "Leave the rest" : "Finish");
    for (const { button, key } of Object.values(this.buttons)) {
      const bound = this.settings.keys(button.dataset.action);
      put(key, keyName(bound.pedal || bound.key));
      button.setAttribute("aria-keyshortcuts", bound.key === " " ? "Space" : bound.key);
    }
    this.lead.hidden = lead || troubles.has("cut") || led !== false;
    this.kept(state);
  }

  /** How much sound waits in the page, or that it still listens; too often changed to be said. */
  kept({ kept, troubles, running, phase }) {
    const waits = troubles.has("cut") || troubles.has("disk") || kept >= 2;
    const answers = running && ["asking", "to_sign"].includes(phase);
    put($("status-more"), waits ? `${Math.round(kept)} s kept here` : answers ? "● still listening" : "");
  }

  counts({ done, wanted }, { open, blocking }) {
    put($("counts"), `${done} of ${wanted} done`);
    const asked = open.length ? `${open.length} asked, ${blocking} must be answered` : "nothing asked";
    $("counts").append(make("small", {}, asked));
  }

  // Above the chart the name of each red flag, below it what to do about the newest; all of it
  // under Findings.
  flags(flags) {
    put($("flags"), flags.map(({ message }) => `⚑ ${message.split(":")[0]}`).join("  "));
    const newest = flags.find(({ flag }) => !this.flagged?.has(flag)) ?? this.newest;
    this.newest = flags.find(({ flag }) => flag === newest?.flag) ?? flags[0];
    this.flagged = new Set(flags.map(({ flag }) => flag));
    if (this.newest) {
      const { message, confirmed } = this.newest;
      put($("warned"), `⚑ ${message}${confirmed ? "" : " (not confirmed)"}`);
    }
    $("warned").hidden = !flags.length;
  }
}

function said({ phase, lead, troubles, running, speaking }) {
  if (troubles.has("cut")) return ["✕", "Line is cut", "bad"];
  if (!lead) return ["◎", "Watching only", "off"];
  if (troubles.has("disk")) return ["✕", "Not stored", "bad"];
  if (phase === "listening" && !running) return ["✕", "No microphone", "bad"];
  if (phase === "listening" && speaking) return ["♪", "Speaking", "held"];
  return PHASES[phase] ?? ["", "", "off"];
}
