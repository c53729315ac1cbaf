// An item found sound folds to one line once it has left the screen at the top. The page is moved by
// what the fold took, so that nothing moves under the finger. Without this the card is only longer.
"use strict";

const sound = (line) =>
  line.querySelector(".touch-sound :checked") &&
  !line.querySelector(".touch:not(.touch-sound) :checked, [open]");

const gone = new IntersectionObserver((entries) => {
  for (const { target, isIntersecting, boundingClientRect } of entries) {
    if (isIntersecting || boundingClientRect.bottom > 0 || !sound(target)) continue;
    const next = target.nextElementSibling || target.parentElement.nextElementSibling;
    const before = next.getBoundingClientRect().top;
    target.classList.add("folded");
    scrollBy(0, next.getBoundingClientRect().top - before);
  }
});

for (const line of document.querySelectorAll(".card-line")) {
  gone.observe(line);
  line.addEventListener("change", () => sound(line) || line.classList.remove("folded"));
}
