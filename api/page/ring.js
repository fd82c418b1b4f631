/** Ring when automatic works again, as long as the page is open. */

const NAME = "ventsleuth.ring";
const BEEPS = 4;
const BEEP_S = 0.25;
const PITCH_HZ = 880;

/** @typedef {{at: number, says: string}} Ring  `at` by this phone's clock in milliseconds */

/** @type {ReturnType<typeof setTimeout>|undefined} */
let timer;
/** @type {AudioContext|null} */
let sound = null;
/** @type {(says: string) => void} */
let tell = () => {};

/** @param {(says: string) => void} listener  told when it rings; a ring that was set before a reload is taken up again */
export function onRing(listener) {
  tell = listener;
  const kept = ringSet();
  if (kept) wait(kept);
}

/** @returns {Ring|null} the ring that is set */
export function ringSet() {
  try {
    return JSON.parse(localStorage.getItem(NAME) ?? "null");
  } catch (error) {
    if (error instanceof DOMException || error instanceof SyntaxError) return null;
    throw error;
  }
}

/** @param {Ring} ring  called from a tap, for browsers let nothing sound before one */
export function setRing(ring) {
  sound = "AudioContext" in globalThis ? new AudioContext() : null;
  keep(JSON.stringify(ring));
  wait(ring);
}

/** Let it not ring. */
export function dropRing() {
  clearTimeout(timer);
  keep(null);
}

/** @param {Ring} ring */
function wait(ring) {
  clearTimeout(timer);
  timer = setTimeout(() => {
    dropRing();
    beep();
    navigator.vibrate?.([400, 200, 400]);
    tell(ring.says);
  }, Math.max(0, ring.at - Date.now()));
}

function beep() {
  if (sound === null) return;
  for (let count = 0; count < BEEPS; count += 1) {
    const tone = new OscillatorNode(sound, { frequency: PITCH_HZ });
    tone.connect(sound.destination);
    tone.start(sound.currentTime + count * BEEP_S * 2);
    tone.stop(sound.currentTime + count * BEEP_S * 2 + BEEP_S);
  }
}

/** @param {string|null} text */
function keep(text) {
  try {
    if (text === null) localStorage.removeItem(NAME);
    else localStorage.setItem(NAME, text);
  } catch (error) {
    if (!(error instanceof DOMException)) throw error; // barred or full: it then rings only until a reload
  }
}
