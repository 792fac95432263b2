// Gives every form its own id, made on this phone, so that the same form sent twice is recorded once.
// Once the server has answered, a form that stays on the page gets a new one; without an answer it keeps its id.
(() => {
  const given = new WeakSet();

  const fresh = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  };

  const giveIds = () => {
    for (const input of document.querySelectorAll("input[data-client-id]")) {
      if (given.has(input)) continue;
      input.value = fresh();
      given.add(input);
    }
  };

  const answered = (event) => {
    if (event.detail.ctx.response.status >= 500) return;
    for (const input of event.target.querySelectorAll("input[data-client-id]")) given.delete(input);
    giveIds();
  };

  giveIds();
  document.addEventListener("htmx:after:swap", giveIds);
  document.addEventListener("htmx:after:request", answered);
})();
