// Sends photos as soon as they are chosen, one by one, and shows how far the sending is. If it fails, the button sends them again.
// With hx-post on the form htmx does the swap; fetch knows no upload progress, so it is given a sender that does.
(() => {
  const SIX_MINUTES_MS = 360_000;
  const inputIn = (form) => form.querySelector("input[data-photo-upload]");
  const buttonIn = (form) => form.querySelector(".photo-button__send");
  const barIn = (form) => form.querySelector(".photo-button__progress");

  const takeOver = () => {
    for (const input of document.querySelectorAll("input[data-photo-upload]")) {
      if (!input.files.length && buttonIn(input.form)) buttonIn(input.form).hidden = true;
    }
  };

  const headersOf = (sender) => {
    const lines = sender.getAllResponseHeaders().trim().split("\r\n").filter(Boolean);
    return new Headers(lines.map((line) => [line.slice(0, line.indexOf(":")), line.slice(line.indexOf(":") + 1).trim()]));
  };

  const sendOne = (action, request, body, show) => new Promise((resolve, reject) => {
    const sender = new XMLHttpRequest();
    sender.open(request.method, action);
    for (const [name, value] of new Headers(request.headers)) sender.setRequestHeader(name, value);
    sender.upload.addEventListener("progress", (event) => show(event.total ? event.loaded / event.total : 0));
    sender.addEventListener("load", () => resolve(
      new Response(sender.responseText || null, { status: sender.status, headers: headersOf(sender) })));
    for (const failure of ["error", "abort"]) {
      sender.addEventListener(failure, () => reject(new TypeError(`The photo was not sent: ${failure}`)));
    }
    request.signal.addEventListener("abort", () => sender.abort());
    sender.send(body);
  });

  // A write a photo, each with an id of its own that is the same when the same photo is sent again.
  const bodyWith = (whole, name, photo) => {
    const body = new FormData();
    for (const [other, value] of whole) if (other !== name) body.append(other, value);
    body.set("client_id", `${whole.get("client_id")}-${photo.size.toString(36)}-${photo.lastModified.toString(36)}`);
    body.append(name, photo);
    return body;
  };

  const sendFrom = (form) => async (action, request) => {
    const [bar, input] = [barIn(form), inputIn(form)];
    const photos = [...input.files];
    const bodies = photos.length ? photos.map((photo) => bodyWith(request.body, input.name, photo)) : [request.body];
    let answer;
    bar.value = 0;
    bar.hidden = false;
    try {
      for (const [sent, body] of bodies.entries()) {
        answer = await sendOne(action, request, body, (part) => { bar.value = (sent + part) / bodies.length; });
        if (answer.status >= 400) break;
      }
    } finally {
      bar.hidden = true;
    }
    return answer;
  };

  const offerAgain = (event) => {
    const form = event.target;
    if (form.matches?.("form") && inputIn(form)) buttonIn(form).hidden = false;
  };

  document.addEventListener("change", (event) => {
    const input = event.target;
    if (input.matches("input[data-photo-upload]") && input.files.length) input.form.requestSubmit(buttonIn(input.form));
  });
  document.addEventListener("htmx:config:request", (event) => {
    const form = event.target;
    if (!form.matches?.("form") || !inputIn(form)) return;
    event.detail.ctx.fetch = sendFrom(form);
    event.detail.ctx.request.timeout = SIX_MINUTES_MS;
  });
  document.addEventListener("htmx:after:request", (event) => {
    const form = event.target;
    if (!form.matches?.("form") || !inputIn(form)) return;
    if (event.detail.ctx.response.status >= 400) offerAgain(event);
    else inputIn(form).value = "";
    takeOver();
  });
  document.addEventListener("htmx:error", offerAgain);
  document.addEventListener("htmx:after:swap", takeOver);
  takeOver();
})();
