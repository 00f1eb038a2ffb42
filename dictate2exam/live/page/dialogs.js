// The dialogs that only show something: orders and keys, all findings, the location so far, what is left.

import { $, clock, closing, make } from "./dom.js";
import { keyName } from "./settings.js";

const STATES = { accepted: "heard clearly", to_confirm: "? asked about", confirmed: "✓ confirmed" };

function show(dialog, title, ...content) {
  const heading = make("h2", { id: `${dialog.id}-title`, tabindex: "-1" }, title);
  dialog.replaceChildren(heading, ...content, closing(dialog));
  if (!dialog.open) dialog.showModal();
  heading.focus();
}

export function showHelp(orders, settings) {
  const lines = orders.map(({ order, does, spoken: [first, ...others] }) => {
    const also = others.length ? make("small", {}, `or ${others.map(quoted).join(", ")}`) : "";
    return line([make("span", { class: "say" }, quoted(first)), also], does, keysOf(settings, order));
  });
  const own = ["list", "location", "help", "settings"].map((action) =>
    line(["by key alone"], settings.actions[action].does, keysOf(settings, action)));
  const head = make("tr", {}, ...["Say", "It does", "Key"].map((word) =>
    make("th", { scope: "col" }, word)));
  show($("help"), "Spoken orders and keys",
    make("p", {}, "Say an order by itself, with a short pause before and after it."),
    make("table", {}, make("thead", {}, head), make("tbody", {}, ...lines, ...own)));
}

function quoted(words) {
  return `“${words}”`;
}

function line(say, does, keys) {
  return make("tr", {}, make("th", { scope: "row" }, ...say), make("td", {}, does), make("td", {}, keys));
}

function keysOf(settings, action) {
  const { key, pedal } = settings.keys(action);
  return [key && keyName(key), pedal && `pedal ${keyName(pedal)}`].filter(Boolean).join(", ") || "none";
}

export function showList(chart, plan) {
  const body = make("tbody");
  for (const row of chart?.rows ?? []) {
    for (const side of ["right", "left", "none"]) {
      const cell = row[side];
      if (!cell) continue;
      body.append(make("tr", {},
        make("th", { scope: "row" }, plan.places[row.item].label),
        make("td", {}, side === "none" ? "no side" : side),
        make("td", {}, [cell, ...cell.more].map(withModality).join(", ")),
        make("td", { class: `state ${cell.state}` }, STATES[cell.state]),
        make("td", {}, `“${cell.heard}” at ${clock(cell.start_s)}`)));
    }
  }
  const head = make("tr", {}, ...["Item", "Side", "Value", "State", "Words"].map((word) =>
    make("th", { scope: "col" }, word)));
  const table = make("table", {}, make("thead", {}, head), body);
  const flags = (chart?.red_flags ?? []).map(({ message, confirmed }) =>
    make("p", { class: "flag" }, `⚑ ${message}${confirmed ? "" : " (not confirmed)"}`));
  show($("list"), "Every finding so far", ...flags,
    body.rows.length ? table : make("p", {}, "Nothing has been found yet."));
}

function withModality({ text, detail }) {
  return detail.modality ? `${text} (${detail.modality})` : text;
}

export function showPlace(location) {
  const parts = [];
  for (const { side, sites, outlook } of location.places) {
    const list = make("ol", {});
    for (const { summary, probability } of sites) {
      list.append(make("li", {}, `${summary}: ${Math.round(100 * probability)}%`));
    }
    parts.push(make("h3", {}, side === "none" ? "Location" : `${side[0].toUpperCase()}${side.slice(1)}`),
      make("p", {}, outlook), list);
  }
  if (!parts.length) parts.push(make("p", {}, "Nothing could be located yet."));
  for (const flag of location.red_flags) parts.unshift(make("p", { class: "flag" }, `⚑ ${flag}`));
  show($("place"), "Where it may be so far",
    make("p", { class: "stamp" }, location.stamp || "Provisional"), ...parts,
    make("ul", { class: "cautions" }, ...location.cautions.map((text) => make("li", {}, text))));
}

/** What is left, in two orders; does not take the focus, since it is asked for by voice. */
export function showLeft(next) {
  const dialog = $("left");
  const lists = [
    ["Tells most about the site", next.by_information],
    ["In the order of the protocol", next.by_protocol],
  ].map(([title, items]) => make("div", {}, make("h3", {}, title), items.length
    ? make("ol", {}, ...items.map(leftItem))
    : make("p", {}, "Nothing is left.")));
  dialog.replaceChildren(make("h2", { id: "left-title" }, "Not examined yet"),
    make("div", { class: "two" }, ...lists), closing(dialog));
  const before = document.activeElement;
  if (!dialog.open) dialog.show();
  document.activeElement.blur();
  before?.focus(); // a pedal or key goes on doing what it did
}

function leftItem({ label, how, donor }) {
  return make("li", {}, make("b", {}, label), how ? make("small", {}, ` ${how}`) : "",
    donor ? make("small", {}, ` May be a donor: ${donor}.`) : "");
}
