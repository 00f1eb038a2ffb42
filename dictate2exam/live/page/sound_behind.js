// Plays the stored sound behind a question; the microphone does not count meanwhile.

const AROUND = 0.3; // seconds before and after

/** Resolves once it was played to the end; throws an Error with a sentence otherwise. */
export async function playBehind(exam, { start_s: start, end_s: end }, mute, onTime = () => {}) {
  const from = Math.max(0, start - AROUND);
  const query = new URLSearchParams({ from_s: from.toFixed(3), to_s: (end + AROUND).toFixed(3) });
  const answer = await fetch(`/api/examinations/${encodeURIComponent(exam)}/sound?${query}`);
  if (!answer.ok) throw new Error("The sound behind this question could not be read.");
  const url = URL.createObjectURL(await answer.blob());
  const unmute = mute();
  const audio = new Audio(url);
  audio.addEventListener("timeupdate", () => onTime(from + audio.currentTime));
  try {
    await new Promise((resolve, reject) => {
      audio.addEventListener("ended", resolve);
      audio.addEventListener("error", () => reject(new Error("The sound could not be played.")));
      audio.play().catch(() => reject(new Error("The browser plays no sound before a key is pressed.")));
    });
  } finally {
    URL.revokeObjectURL(url);
    setTimeout(unmute, 300);
  }
}
