// Sends photos as soon as they are chosen, and shows how far the sending is.
// With hx-post on the form htmx does the swap; fetch knows no upload progress, so it is given a sender that does.
(() => {
  const SIX_MINUTES_MS = 360_000;
  const inputIn = (form) => form?.querySelector?.("input[data-photo-upload]");
  const barIn = (form) => form.querySelector(".photo-button__progress");

  const takeOver = () => {
    for (const input of document.querySelectorAll("input[data-photo-upload]")) {
      const button = input.form?.querySelector(".photo-button__send");
      if (button && input.form.querySelectorAll("[type=submit]").length === 1) button.hidden = true;
    }
  };

  const send = (form) => (action, request) => new Promise((resolve, reject) => {
    const bar = barIn(form);
    const sender = new XMLHttpRequest();
    sender.open(request.method, action);
    for (const [name, value] of new Headers(request.headers)) sender.setRequestHeader(name, value);
    sender.upload.addEventListener("progress", (event) => { bar.value = event.total ? event.loaded / event.total : 0; });
    sender.addEventListener("load", () => {
      const answer = new Response(sender.responseText || null, { status: sender.status, headers: headersOf(sender) });
      Object.defineProperty(answer, "url", { value: sender.responseURL });
      resolve(answer);
    });
    for (const failure of ["error", "abort"]) {
      sender.addEventListener(failure, () => reject(new TypeError(`The photos were not sent: ${failure}`)));
    }
    sender.addEventListener("loadend", () => { bar.hidden = true; });
    request.signal?.addEventListener("abort", () => sender.abort());
    bar.hidden = false;
    sender.send(request.body);
  });

  const headersOf = (sender) => {
    const lines = sender.getAllResponseHeaders().trim().split("\r\n");
    return new Headers(lines.filter(Boolean).map((line) => [line.slice(0, line.indexOf(":")), line.slice(line.indexOf(":") + 1).trim()]));
  };

  document.addEventListener("change", (event) => {
    const input = event.target;
    if (input.matches("input[data-photo-upload]") && input.files.length) input.form.requestSubmit();
  });
  document.addEventListener("htmx:config:request", (event) => {
    const form = event.target;
    if (!inputIn(form)) return;
    event.detail.ctx.fetch = send(form);
    event.detail.ctx.request.timeout = SIX_MINUTES_MS;
  });
  document.addEventListener("htmx:after:swap", takeOver);
  takeOver();
})();
