// Keeps the screen on while a person works at the rack: asked for by a tap, and again whenever the page is seen once more.

/**
 * Makes `button` (with aria-pressed) switch it. `tell(kept)`: whether the browser keeps the screen on, when that was asked for.
 * @param {HTMLElement} button @param {(kept: boolean) => void} tell
 */
export function listenForAwake(button, tell) {
  let wanted = false;
  /** @type {WakeLockSentinel | null} */
  let lock = null;

  const show = () => button.setAttribute("aria-pressed", String(wanted));

  async function ask() {
    try {
      const given = await navigator.wakeLock.request("screen");
      if (!wanted) return void given.release(); // switched off meanwhile
      lock = given;
      given.addEventListener("release", () => { if (lock === given) lock = null; });
      tell(true);
    } catch { // no such thing here, or refused: low battery, for one
      if (document.visibilityState !== "visible") return; // asked again when it is seen
      wanted = false;
      show();
      tell(false);
    }
  }

  button.addEventListener("click", () => {
    wanted = !wanted;
    show();
    if (wanted) ask();
    else lock?.release();
  });
  document.addEventListener("visibilitychange", () => {
    if (wanted && !lock && document.visibilityState === "visible") ask();
  });
}
