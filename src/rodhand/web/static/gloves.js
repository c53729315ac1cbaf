"use strict";
/* Thick gloves: a press by a finger is taken at its second touch; the first one says what it would
   keep, and any other touch lets it go. On a small screen this rod asks so unless somebody said
   otherwise; elsewhere once somebody switched it on. Keyboard, mouse and taking back ask once. */
window.gloves = (() => {
  const SAID = "rodhand-gloves";
  const told = document.getElementById("press-told");
  const own = document.getElementById("gloves");
  const small = window.matchMedia("(max-width: 599px)");
  let isTouch = false;
  let asked = null; // the button touched once
  let words = "";

  const said = () => {
    try {
      return localStorage.getItem(SAID);
    } catch {
      return null; // a browser that keeps nothing
    }
  };
  const asksTwice = (form) => said() === "yes" || (said() === null && form?.dataset.gloves !== undefined && small.matches);

  const letGo = () => {
    if (asked) asked.textContent = words;
    asked?.removeAttribute("data-once");
    asked = null;
  };
  document.addEventListener("click", (event) => {
    isTouch = event.pointerType === "touch";
    if (asked && event.target.closest("button") !== asked) letGo();
  }, true);

  /** Whether a press counts now. */
  const takes = (form, button) => {
    if (!isTouch || button.dataset.kind === "strike" || !asksTwice(form)) return true;
    const isSecond = asked === button;
    letGo();
    if (isSecond) return true;
    asked = button;
    words = button.textContent;
    button.textContent = told.dataset.again.replace("{what}", button.dataset.says ?? words);
    button.dataset.once = "";
    return false;
  };

  if (own) {
    const tell = () => own.setAttribute("aria-pressed", String(asksTwice(document.querySelector("[data-gloves]"))));
    own.addEventListener("click", () => {
      const wanted = own.getAttribute("aria-pressed") === "true" ? "no" : "yes";
      try {
        localStorage.setItem(SAID, wanted);
      } catch {
        // a browser that keeps nothing stays as it was
      }
      tell();
    });
    own.hidden = false;
    tell();
  }
  return { takes };
})();
