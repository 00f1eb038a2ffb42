// Elements by hand: everything said or heard goes in as text, never as markup.

export const $ = (id) => document.getElementById(id);

/** make("p", { class: "x", hidden: true, onclick }, "text", child) */
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children.filter((child) => child !== undefined && child !== ""));
  return element;
}

/** Puts the text in only where it differs, so that a screen reader says nothing twice. */
export function put(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** For a screen reader alone. */
export function unseen(text) {
  return make("span", { class: "unseen" }, text);
}

/** A sentence along the lower edge. */
export function tell(text) {
  put($("told-words"), text);
  $("told").hidden = !text;
}

export function clock(seconds) {
  const whole = Math.floor(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

export function closing(dialog) {
  return make("p", { class: "closing" }, make("button", { type: "button", onclick: () => dialog.close() }, "Close"));
}

/** Asks the server over HTTP; an Error's message is its own sentence. */
export async function ask(path, options = {}) {
  const answer = await fetch(path, options);
  const body = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Error(body.message ?? `The server refused (${answer.status}).`);
  return body;
}
