// The page's own alarm sound: two soft notes, made here, only after a person has touched the page.

export type Sound = {
  /** Allows sound from now on; call it from a click or key. */
  allow(): void;
  play(): void;
};

const notes = [
  { pitchHz: 659, fromS: 0 },
  { pitchHz: 880, fromS: 0.22 },
];
const noteS = 0.35;

export function createSound(openContext: () => AudioContext = () => new AudioContext()): Sound {
  let context: AudioContext | undefined;
  return {
    allow() {
      context ??= openContext();
    },
    play() {
      if (context === undefined) return;
      for (const note of notes) playNote(context, note);
    },
  };
}

function playNote(context: AudioContext, note: { pitchHz: number; fromS: number }): void {
  const fromS = context.currentTime + note.fromS;
  const tone = context.createOscillator();
  const loudness = context.createGain();
  tone.frequency.value = note.pitchHz;
  loudness.gain.setValueAtTime(0, fromS);
  loudness.gain.linearRampToValueAtTime(0.25, fromS + 0.02);
  loudness.gain.exponentialRampToValueAtTime(0.001, fromS + noteS);
  tone.connect(loudness).connect(context.destination);
  tone.start(fromS);
  tone.stop(fromS + noteS);
}
