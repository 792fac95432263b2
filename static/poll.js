// A part that asks for itself every so often rests while nobody looks, and asks at once when somebody does again.
(() => {
  document.addEventListener("htmx:before:request", (event) => {
    if (document.hidden && event.target.matches("[data-polls]")) event.preventDefault();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) return;
    for (const part of document.querySelectorAll("[data-polls]")) htmx.trigger(part, "every");
  });
})();
