// One examination in this tab: what the server says is shown, what the examiner does is sent.

import { Chart } from "./chart.js";
import { showConsent } from "./consent.js";
import { showHelp, showLeft, showList, showPlace } from "./dialogs.js";
import { $, clock, make, put, tell } from "./dom.js";
import { HeardLine } from "./heard_line.js";
import { devices, Microphone } from "./microphone.js";
import { QuestionView } from "./question_view.js";
import { keyName } from "./settings.js";
import { resetSign, showSign, showSigned } from "./sign_view.js";
import { SoundState } from "./sound_state.js";
import { Speaker } from "./speak.js";
import { Wire } from "./wire.js";

const LISTENS = ["ready", "listening", "paused"];
const NEXT_EVERY = 15_000; // ms: what is next is worked out anew at most so often
const STATUS = {
  consent: ["○", "Not recording"], ready: ["○", "Ready"], listening: ["●", "Listening"],
  paused: ["❚❚", "Paused"], asking: ["?", "Questions"], to_sign: ["✎", "To sign"], signed: ["✓", "Signed"],
};

export class Exam {
  constructor(start, plan, exam, settings) {
    Object.assign(this, { start, plan, exam, settings });
    this.microphone = new Microphone();
    this.mute = () => this.microphone.mute();
    this.speaker = new Speaker(this.mute);
    this.speaker.on = settings.get("aloud", false);
    this.sound = new SoundState(this.microphone, () => this.phase === "listening");
    this.line = new HeardLine();
    this.questions = { open: [], blocking: 0, gaps: 0 };
    this.phase = "";
    this.answering = "";
    settings.changed = () => this.configured();
    this.microphone.addEventListener("frame", ({ detail }) => this.frame(detail));
    this.microphone.addEventListener("lost", () => this.lost());
    addEventListener("beforeunload", (event) => {
      if (this.wire.unsent > 40) event.preventDefault(); // two seconds of sound are nowhere else
    });
    this.wire = new Wire(exam);
    this.wire.addEventListener("message", ({ detail }) => this[`on_${detail.type}`]?.(detail));
    this.wire.addEventListener("state", ({ detail }) => this.line_is(detail));
    document.body.dataset.view = "exam";
  }

  // What the server says

  on_welcome({ role, phase, protocol }) {
    this.lead = role === "lead";
    this.joined = true;
    this.chart ??= new Chart(this.plan, this.start.required[protocol] ?? []);
    this.view ??= new QuestionView({
      exam: this.exam,
      mute: this.mute,
      values: (item) => this.plan.places[item]?.values ?? [],
      wording: (value) => this.wording(value),
      answer: (id, answer, played) =>
        this.send({ type: "answer", question_id: id, answer, played }),
    });
    this.enter(phase);
    this.announceDevice();
  }

  on_role({ role, led }) {
    this.lead = role === "lead";
    this.led = led;
    this.enter(this.phase);
  }

  on_phase({ phase, answering }) {
    this.answering = answering;
    this.enter(phase);
  }

  on_ack({ seconds }) {
    if (this.phase === "ready" && seconds > 0) this.enter("listening"); // the first frame is kept
  }

  on_partial({ text }) {
    this.line.partial(text);
  }

  on_heard(message) {
    this.line.heard(message);
    if (!message.finding_ids.length) put($("live"), `${message.text}: ${message.what}`);
  }

  on_chart(chart) {
    if (this.joined) chart = { ...chart, changed: [] }; // new to this tab alone
    this.joined = false;
    this.found = chart;
    this.chart.show(chart);
    put($("counts"), `${chart.done} of ${chart.wanted} done`);
    $("counts").append(make("span", {}, this.asked()));
    this.redFlags(chart.red_flags);
    const cells = chart.rows.flatMap((row) => [row.right, row.left, row.none]).filter(Boolean);
    const fresh = cells.filter((cell) => chart.changed.includes(cell.finding_id));
    if (fresh.length) {
      const said = fresh.map((cell) => cell.said).join("; ");
      put($("live"), said);
      if (this.phase === "listening") this.speaker.say(said);
      $("left").close();
    }
    this.wantNext();
  }

  on_questions(questions) {
    this.questions = questions;
    if (this.found) this.on_chart({ ...this.found, changed: [] });
    this.topQuestion();
    this.enter(this.phase);
  }

  on_next(next) {
    if (!next.by_information.length && this.left) next.by_information = this.left.by_information;
    this.left = next; // the order by information comes a moment later
    const names = (items) =>
      items.slice(0, 3).map(({ label }) => label).join("; ") || "nothing";
    $("next").replaceChildren(
      make("b", {}, "Next, tells most: "), make("span", {}, names(next.by_information)),
      make("b", {}, "In order: "), make("span", {}, names(next.by_protocol)));
    if (this.wantsLeft) showLeft(next);
    this.wantsLeft = false;
  }

  on_done({ order, say }) {
    put($("live"), say);
    tell("");
    this.speaker.say(say);
    if (order === "show_left") {
      this.wantsLeft = true; // what comes in next is newer
      if (this.left) showLeft(this.left);
    }
  }

  on_location(location) {
    showPlace(location);
  }

  on_level(level) {
    this.sound.judged(level);
  }

  on_signed({ report, say }) {
    tell("");
    this.enter("signed");
    showSigned(this.exam, report, say);
  }

  on_trouble({ trouble, message, lasting }) {
    this.trouble = trouble === "over" ? "" : message;
    tell(this.trouble);
    this.signing = false;
    resetSign();
    this.enter(this.phase);
    clearTimeout(this.troubleOver);
    if (!lasting && this.trouble) this.troubleOver = setTimeout(() => tell(""), 10_000);
  }

  // What is shown when

  enter(phase) {
    const before = this.phase;
    this.phase = phase;
    document.body.dataset.phase = phase;
    document.body.dataset.role = this.lead ? "lead" : "watch";
    const asking = this.lead && phase === "asking" && this.questions.open.length > 0;
    const signing = this.lead && phase === "to_sign";
    $("bar").hidden = $("feet").hidden = false;
    $("start").hidden = true;
    $("ask").hidden = !asking;
    $("sign").hidden = !signing;
    $("signed").hidden = phase !== "signed";
    $("chart").hidden = asking || signing || phase === "signed";
    if (asking) this.view.show(this.questions, this.answering);
    if (signing) this.signForm();
    if (phase === "signed" && before !== "signed") {
      this.microphone.close();
      showSigned(this.exam, `/api/examinations/${encodeURIComponent(this.exam)}/report`, "The record is signed.");
    }
    if (this.lead && phase === "consent" && !$("consent").open) this.askConsent();
    if (this.lead && LISTENS.includes(phase) && !this.microphone.stream) this.listen();
    this.status();
  }

  status() {
    let [sign, word] = STATUS[this.phase] ?? ["", ""];
    if (this.cut) [sign, word] = ["✕", "Line is cut"];
    else if (!this.lead) [sign, word] = ["◎", "Watching only"];
    else if (this.phase === "listening" && !this.microphone.running) [sign, word] = ["✕", "No microphone"];
    put($("status-sign"), sign);
    put($("status-word"), word);
    $("status").dataset.state = this.cut ? "cut" : this.phase;
    const key = (action) => this.settings.keys(action).key;
    for (const button of document.querySelectorAll("[data-action]")) {
      const name = key(button.dataset.action);
      button.setAttribute("aria-keyshortcuts", name === " " ? "Space" : name);
    }
    $("do-pause").dataset.action = this.phase === "paused" ? "go_on" : "pause";
    put($("do-finish"), this.phase === "asking" ? "Leave the rest" : "Finish");
    put($("do-pause"), this.phase === "paused" ? "Go on" : "Pause");
    $("take-over")?.remove();
    if (!this.lead && !this.cut && this.led === false) {
      $("bar").append(make("button", { type: "button", id: "take-over",
        onclick: () => this.send({ type: "take_over" }) }, "Lead here"));
    }
  }

  line_is(state) {
    if (state === "full") {
      tell("Ten minutes of sound wait to be sent; what is said now is lost. Restart the program.");
      return;
    }
    this.cut = state === "cut";
    if (this.cut) tell("The line to the program is cut; what you say is kept and sent once it is back.");
    else tell(this.trouble ?? "");
    this.status();
  }

  asked() {
    const { open, blocking } = this.questions;
    return open.length ? `${open.length} asked, ${blocking} must be` : "nothing asked";
  }

  // In the bar the name of each, below the chart what to do about the newest; all of it under All.
  redFlags(flags) {
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

  topQuestion() {
    const [first] = this.questions.open;
    const order = this.start.orders.find((one) => one.order === "answer");
    const hint = order ? `say “${order.spoken[0]}” or press ${keyName(this.settings.keys("answer").key)}` : "";
    $("top").replaceChildren(...(first
      ? [make("b", {}, this.answering ? "Answer now: " : "? "), first.question, make("small", {}, ` ${hint}`)]
      : [make("span", { class: "quiet" }, "Nothing is asked.")]));
  }

  signForm() {
    showSign({
      examiner: this.start.examiner,
      sign: (by) => {
        this.signing = true; // no sound belongs to it any more
        this.send({ type: "sign", by });
      },
      list: () => this.act("list"),
      goOn: () => this.act("go_on"),
    }, this.questions, this.found);
  }

  wording(value) {
    return this.plan.places[value]?.label ?? value.replaceAll("_", " ");
  }

  // What the examiner does

  act(action) {
    if (action === "settings") this.settings.open(this.microphone, devices, this.speaker);
    else if (action === "help") showHelp(this.start.orders, this.settings);
    else if (action === "list") showList(this.found, this.plan);
    else if (action === "location") this.send({ type: "ask", what: "location" });
    else if (action === "pause" && this.phase === "paused") this.act("go_on");
    else if (action === "show_left" && $("left").open) $("left").close();
    else if (!this.lead && action === "show_left") {
      this.wantsLeft = true;
      this.send({ type: "ask", what: "next" });
    } else if (this.lead) this.send({ type: "order", order: action });
  }

  send(message) {
    if (!this.wire.say(message)) tell("The line to the program is cut: try again in a moment.");
  }

  wantNext() {
    if (this.nextTimer || !LISTENS.includes(this.phase)) return;
    const wait = Math.max(0, (this.nextAt ?? 0) - Date.now());
    this.nextTimer = setTimeout(() => {
      this.nextTimer = undefined;
      this.nextAt = Date.now() + NEXT_EVERY;
      this.wire.say({ type: "ask", what: "next" });
    }, wait);
  }

  askConsent() {
    const tools = { settings: this.settings, microphone: this.microphone, devices, meter: (element) => this.sound.draw(element) };
    showConsent(this.start.consent, this.start.examiner, tools, (agreed, by) => {
      this.send({ type: "consent", agreed, version: this.start.consent.version, by });
      if (agreed) return;
      this.microphone.close();
      location.href = "/";
    });
  }

  async listen() {
    if (this.opening) return;
    this.opening = true;
    try {
      await this.microphone.open(this.settings.get("device", ""));
      this.announceDevice();
      this.trouble = "";
      tell("");
    } catch (error) {
      this.trouble = error.message;
      tell(error.message);
    }
    this.opening = false;
    this.status();
  }

  lost() {
    this.microphone.close();
    this.trouble = "The microphone is gone: plug it in again or choose another in Settings.";
    tell(this.trouble);
    this.status();
  }

  configured() {
    this.speaker.on = this.settings.get("aloud", false);
    if (!this.speaker.on) this.speaker.stop();
    this.announceDevice();
    this.status();
  }

  announceDevice() {
    const { label, rate } = this.microphone;
    const told = `${label} ${rate}`;
    if (!rate || !this.lead || this.phase === "consent" || this.told === told) return;
    if (this.wire.say({ type: "device", label, rate })) this.told = told;
  }

  frame({ pcm }) {
    const heard = this.phase && !["consent", "signed"].includes(this.phase) && !this.signing;
    if (this.lead && heard) this.wire.sound(pcm);
  }
}
