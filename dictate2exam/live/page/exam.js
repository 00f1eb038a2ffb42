// One examination in this tab: what the server says is shown, what the examiner does is sent.

import { Bar } from "./bar.js";
import { Chart } from "./chart.js";
import { showConsent } from "./consent.js";
import { showHelp, showLeft, showList, showPlace } from "./dialogs.js";
import { $, put } from "./dom.js";
import { Feet } from "./feet.js";
import { HeardLine } from "./heard_line.js";
import { Listening, LISTENS } from "./listening.js";
import { devices } from "./microphone.js";
import { QuestionView } from "./question_view.js";
import { resetSign, showSign, showSigned } from "./sign_view.js";
import { Speaker } from "./speak.js";
import { Troubles } from "./troubles.js";
import { Wire } from "./wire.js";

const NEXT_EVERY = 15_000; // ms: what is next is worked out anew at most so often
const FRAMES_A_SECOND = 20;
const LINE = {
  cut: ["cut", "The line to the program is cut; what you say is kept here and sent once it is back. Has the program ended? Start it again."],
  shut: ["shut", "The program was started anew: open the address that it prints in this browser, then this page goes on by itself."],
  full: ["full", "Ten minutes of sound wait to be sent; what is said now is lost. Start the program again."],
};

export class Exam {
  constructor(start, plan, exam, settings) {
    Object.assign(this, { start, plan, exam, settings });
    this.phase = this.answering = "";
    this.questions = { open: [], blocking: 0, gaps: 0 };
    this.troubles = new Troubles();
    this.bar = new Bar(settings);
    this.feet = new Feet(start.orders, settings);
    this.line = new HeardLine();
    this.listening = new Listening(this);
    this.microphone = this.listening.microphone;
    this.mute = () => this.microphone.mute();
    this.speaker = new Speaker(this.mute);
    this.speaker.on = settings.get("aloud", false);
    settings.changed = () => this.configured();
    addEventListener("beforeunload", (event) => {
      if (this.wire.unsent > 2 * FRAMES_A_SECOND) event.preventDefault(); // it is nowhere else
    });
    this.wire = new Wire(exam);
    this.wire.addEventListener("message", ({ detail }) => this[`on_${detail.type}`]?.(detail));
    this.wire.addEventListener("state", ({ detail }) => this.line_is(detail));
    setInterval(() => this.bar.kept(this), 1000);
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
      hears: () => this.running,
      values: (item) => this.plan.places[item]?.values ?? [],
      wording: (value) => this.plan.places[value]?.label ?? value.replaceAll("_", " "),
      answer: (id, answer, played) => this.send({ type: "answer", question_id: id, answer, played }),
    });
    this.enter(phase);
    this.listening.announce();
  }

  on_role({ role, led }) {
    this.lead = role === "lead";
    this.led = led;
    this.enter(this.phase);
  }

  on_phase({ phase, answering }) {
    this.answering = answering;
    this.enter(phase);
    this.feet.question(this.questions.open[0], Boolean(answering));
  }

  on_ack({ seconds }) {
    if (this.phase === "ready" && seconds > 0) this.enter("listening"); // the first frame is kept
  }

  on_partial({ text }) {
    this.line.running(text);
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
    this.bar.counts(chart, this.questions);
    this.bar.flags(chart.red_flags);
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
    if (this.found) this.bar.counts(this.found, questions);
    this.feet.question(questions.open[0], Boolean(this.answering));
    this.enter(this.phase);
  }

  on_next(next) {
    if (!next.by_information.length && this.left) next.by_information = this.left.by_information;
    this.left = next; // the order by information comes a moment later
    this.feet.next(next);
    if (this.wantsLeft) showLeft(next);
    this.wantsLeft = false;
  }

  on_done({ order, say }) {
    put($("live"), say);
    this.troubles.pass("");
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
    this.listening.sound.judged(level);
  }

  on_signed({ report, say }) {
    this.troubles.pass("");
    this.enter("signed");
    showSigned(this.exam, report, say);
  }

  on_trouble({ trouble, message, lasting }) {
    if (trouble === "over") this.troubles.over("disk");
    else if (lasting) this.troubles.begin(trouble, message);
    else this.troubles.pass(message);
    this.signing = false;
    resetSign();
    this.enter(this.phase);
  }

  line_is(state) {
    if (state === "open") for (const [name] of Object.values(LINE)) this.troubles.over(name);
    else this.troubles.begin(...LINE[state]);
    this.status();
  }

  // What is shown when

  enter(phase) {
    const before = this.phase;
    this.phase = phase;
    const asking = this.lead && phase === "asking" && this.questions.open.length > 0;
    const signing = this.lead && phase === "to_sign";
    const shows = phase === "signed" ? "signed" : asking ? "ask" : signing ? "sign" : "chart";
    Object.assign(document.body.dataset, { phase, shows, role: this.lead ? "lead" : "watch" });
    for (const view of ["ask", "sign", "signed"]) $(view).hidden = shows !== view;
    $("chart").hidden = !["chart", "sign"].includes(shows);
    $("feet").hidden = ["sign", "signed"].includes(shows);
    if (asking) this.view.show(this.questions, this.answering);
    else this.view?.leave();
    if (signing) this.signForm();
    if (phase === "signed" && before !== "signed") {
      this.listening.close();
      showSigned(this.exam, `/api/examinations/${encodeURIComponent(this.exam)}/report`, "The record is signed.");
    }
    if (phase === "paused" && before !== "paused") this.line.hint(`Nothing is kept. To go on, ${this.feet.how("go_on")}.`);
    if (phase === "ready" && this.running) this.line.hint(`${this.microphone.label || "The microphone"} listens: say the first finding.`);
    if (before === "paused" && phase === "listening") this.line.hint("Listening again.");
    if (this.lead && phase === "consent" && !$("consent").open) this.askConsent();
    if (this.lead && LISTENS.includes(phase) && !this.microphone.stream) this.listening.begin();
    this.status();
  }

  get running() {
    return this.listening.running;
  }

  get speaking() {
    return this.microphone.muted > 0;
  }

  get kept() {
    return this.wire.unsent / FRAMES_A_SECOND;
  }

  status() {
    this.bar.draw(this);
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

  askConsent() {
    const tools = { settings: this.settings, microphone: this.microphone, devices, meter: (element) => this.listening.sound.draw(element) };
    showConsent(this.start.consent, this.start.examiner, tools, (agreed, by) => {
      this.send({ type: "consent", agreed, version: this.start.consent.version, by });
      if (agreed) return;
      this.listening.close();
      location.href = "/";
    });
  }

  // What the examiner does

  act(action) {
    if (action === "settings") this.settings.open(this.microphone, devices, this.speaker);
    else if (action === "help") showHelp(this.start.orders, this.settings);
    else if (action === "list") showList(this.found, this.plan);
    else if (action === "location") this.send({ type: "ask", what: "location" });
    else if (action === "lead") this.send({ type: "take_over" });
    else if (action === "pause" && this.phase === "paused") this.act("go_on");
    else if (action === "show_left" && $("left").open) $("left").close();
    else if (!this.lead && action === "show_left") {
      this.wantsLeft = true;
      this.send({ type: "ask", what: "next" });
    } else if (this.lead) this.send({ type: "order", order: action });
  }

  send(message) {
    if (!this.wire.say(message)) this.troubles.pass("The line to the program is cut: try again in a moment.");
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

  configured() {
    this.speaker.on = this.settings.get("aloud", false);
    if (!this.speaker.on) this.speaker.stop();
    this.listening.chosen();
    this.feet.question(this.questions.open[0], Boolean(this.answering));
    this.status();
  }
}
