// Answers aloud through the browser's own speech output: off by default, and never with a voice
// that the browser fetches from a network.

const AFTER = 350; // ms of silence after the last word before the microphone counts again

export class Speaker {
  /** @param mute called before a word is spoken; gives what is called once it is quiet again */
  constructor(mute) {
    this.mute = mute;
    this.on = false;
  }

  get voice() {
    const voices = globalThis.speechSynthesis?.getVoices() ?? [];
    const own = voices.filter((voice) => voice.localService && voice.lang.startsWith("en"));
    return own.find((voice) => voice.default) ?? own[0];
  }

  /** Speaks this at once; what was being spoken is cut short, since the newest counts. */
  say(text) {
    const { voice } = this;
    if (!this.on || !voice || !text) return;
    const spoken = new SpeechSynthesisUtterance(text);
    spoken.voice = voice;
    spoken.lang = voice.lang;
    const unmute = this.mute();
    const ended = () => {
      clearTimeout(limit);
      setTimeout(unmute, AFTER);
    };
    const limit = setTimeout(() => { // an engine may never say that it ended
      speechSynthesis.cancel();
      ended();
    }, 2000 + 120 * text.length);
    spoken.onend = ended;
    spoken.onerror = ended;
    speechSynthesis.cancel();
    speechSynthesis.speak(spoken);
  }

  stop() {
    globalThis.speechSynthesis?.cancel();
  }
}
