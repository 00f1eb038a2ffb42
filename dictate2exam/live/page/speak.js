// Answers aloud through the browser's own speech output: off by default, and never with a voice
// that the browser fetches from a network.

const AFTER = 350; // ms of silence after the last word before the microphone counts again

export class Speaker {
  /** @param mute called before a word is spoken; gives what is called once it is quiet again */
  constructor(mute) {
    this.mute = mute;
    this.on = false;
    this.heard = () => {};
  }

  get voice() {
    const voices = globalThis.speechSynthesis?.getVoices() ?? [];
    const own = voices.filter((voice) => voice.localService && voice.lang.startsWith("en"));
    return own.find((voice) => voice.default) ?? own[0];
  }

  say(text) {
    const { voice } = this;
    if (!this.on || !voice || !text) return;
    const spoken = new SpeechSynthesisUtterance(text);
    spoken.voice = voice;
    spoken.lang = voice.lang;
    const unmute = this.mute();
    const limit = setTimeout(unmute, 2000 + 120 * text.length); // an engine may never say it ended
    const ended = () => {
      clearTimeout(limit);
      setTimeout(unmute, AFTER);
    };
    spoken.onend = ended;
    spoken.onerror = ended;
    speechSynthesis.speak(spoken);
  }

  stop() {
    globalThis.speechSynthesis?.cancel();
  }
}
