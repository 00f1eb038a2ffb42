// The name under which the server knows this tab again after a reload or a cut.

const TRIES = 8; // a reloaded page waits until the one before it has let go
const WAIT = 150; // ms

/** A name that no other open tab has: one that was duplicated brings the name of its original. */
export async function tabName() {
  const kept = sessionStorage.getItem("tab");
  for (let n = 0; kept && n < TRIES; n += 1) {
    if (await held(kept)) return kept;
    await new Promise((go) => setTimeout(go, WAIT));
  }
  const name = crypto.randomUUID();
  await held(name);
  sessionStorage.setItem("tab", name);
  return name;
}

// Holds the name for as long as this page is open; false where another page holds it.
function held(name) {
  return new Promise((tell) => {
    navigator.locks.request(`tab ${name}`, { ifAvailable: true }, (lock) => {
      tell(Boolean(lock));
      return lock ? new Promise(() => {}) : undefined;
    });
  });
}
