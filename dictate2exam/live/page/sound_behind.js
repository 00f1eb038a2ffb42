// Plays the stored sound behind a question; the microphone does not count meanwhile.

const AROUND = 0.3; // seconds before and after

/** The browser wants a key or a click first: another try may do. */
export class NotYet extends Error {}

let playing; // one sound at a time

/** Ends what is played; whoever waits for its end gets an Error. */
export function hush() {
  playing?.pause();
  playing = undefined;
}

/** Resolves once it was played to the end; throws an Error with a sentence otherwise. */
export async function playBehind(exam, { start_s: start, end_s: end }, mute, onTime = () => {}) {
  const from = Math.max(0, start - AROUND);
  const query = new URLSearchParams({ from_s: from.toFixed(3), to_s: (end + AROUND).toFixed(3) });
  const answer = await fetch(`/api/examinations/${encodeURIComponent(exam)}/sound?${query}`);
  if (!answer.ok) throw new Error("The sound behind this question could not be read.");
  const url = URL.createObjectURL(await answer.blob());
  const unmute = mute();
  const audio = new Audio(url);
  hush();
  playing = audio;
  audio.addEventListener("timeupdate", () => onTime(from + audio.currentTime));
  try {
    await new Promise((resolve, reject) => {
      audio.addEventListener("ended", resolve);
      audio.addEventListener("pause", () => audio.ended || reject(new Error("The sound was cut short.")));
      audio.addEventListener("error", () => reject(new Error("The sound could not be played.")));
      audio.play().catch(({ name }) => {
        if (name === "NotAllowedError") reject(new NotYet("The browser plays no sound before a key is pressed."));
      }); // any other failure is an error of the element
    });
  } finally {
    URL.revokeObjectURL(url);
    setTimeout(unmute, 300);
  }
}
