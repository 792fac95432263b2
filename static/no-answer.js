// Says so when the server gave no answer, or a broken one. What was typed stays, and pressing again sends it again.
(() => {
  const flash = document.getElementById("flash");

  const say = () => {
    flash.textContent = flash.dataset.noAnswer;
    flash.classList.add("flash--no-answer");
  };

  const clear = () => {
    if (!flash.classList.contains("flash--no-answer")) return;
    flash.textContent = "";
    flash.classList.remove("flash--no-answer");
  };

  document.addEventListener("htmx:after:request", (event) => (event.detail.ctx.response.status >= 500 ? say() : clear()));
  document.addEventListener("htmx:error", say);
})();
