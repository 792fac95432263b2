// Keeps what was typed in a [data-keep-typing] form on this phone until the server has answered it,
// so that it survives Back, a reload and a dead spot. Never on a form with a PIN.
(() => {
  const forms = () => document.querySelectorAll("form[data-keep-typing]");
  const place = (form) => `typed ${location.pathname} ${form.getAttribute("action")} ${form.dataset.keepTyping}`;
  const fields = (form) =>
    [...form.elements].filter((field) => field.matches("textarea, select, input:not([type=file], [type=password], [name=form_key])"));

  const read = (form) => JSON.parse(sessionStorage.getItem(place(form)) ?? "null");
  const write = (form, sent) => {
    const typed = fields(form).map((field) => [field.name, field.value, field.checked ?? null]);
    sessionStorage.setItem(place(form), JSON.stringify({ sent, typed }));
  };
  const forget = (form) => sessionStorage.removeItem(place(form));

  const putBack = (form, typed) => {
    const left = fields(form);
    for (const [name, value, checked] of typed) {
      const box = checked !== null && left.find((field) => field.name === name && field.matches("[type=radio], [type=checkbox]") && field.value === value);
      const field = box || left.find((other) => other.name === name && !other.matches("[type=radio], [type=checkbox]"));
      if (box) box.checked = checked;
      else if (field) field.value = value;
    }
  };

  const restore = () => {
    const cameBack = performance.getEntriesByType("navigation")[0]?.type !== "navigate";
    for (const form of forms()) {
      const kept = read(form);
      if (!kept) continue;
      if (kept.sent && !cameBack) forget(form);
      else putBack(form, kept.typed);
    }
  };

  const formOf = (event) => event.target.closest?.("form[data-keep-typing]");
  document.addEventListener("input", (event) => formOf(event) && write(formOf(event), false));
  document.addEventListener("submit", (event) => formOf(event) && write(formOf(event), true));
  document.addEventListener("htmx:after:request", (event) => {
    const form = formOf(event);
    if (form && event.detail.ctx?.response?.status < 500) forget(form);
  });
  restore();
})();
