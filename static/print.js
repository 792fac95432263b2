// Shows the buttons that open the browser's own print dialog; without script one prints from the menu.
for (const place of document.querySelectorAll("[data-print]")) {
  place.hidden = false;
  place.querySelector("button").addEventListener("click", () => window.print());
}
