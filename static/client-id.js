// Gives every form its own id, made on this phone, so that the same form sent twice is recorded once.
// A page shown again out of a cache would otherwise carry an id that was used already.
(() => {
  const fresh = () => {
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  };

  const given = new WeakMap();

  const giveIds = () => {
    for (const input of document.querySelectorAll("input[data-client-id]")) {
      if (given.get(input) === input.value) continue;
      input.value = fresh();
      given.set(input, input.value);
    }
  };

  giveIds();
  document.addEventListener("htmx:after:swap", giveIds);
})();
