// A tap on a photo puts a pin that can be tapped or nudged elsewhere until the form is sent.
// It fills tap.x and tap.y as the bare image input would: in pixels of the picture shown at its own width.
(() => {
  const SVG = "http://www.w3.org/2000/svg";
  const NUDGE = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

  const attach = (photo) => {
    const overlay = photo.parentElement.querySelector("[data-pins]");
    const [, , wide, high] = overlay.getAttribute("viewBox").split(" ").map(Number);
    const [width, height] = ["width", "height"].map((side) => Number(photo.getAttribute(side)));
    const [x, y] = ["x", "y"].map((axis) => hiddenInput(photo, axis));
    let pin = null;

    const put = (across, down) => {
      const [atX, atY] = [across, down].map((part) => Math.min(1, Math.max(0, part)));
      x.value = (atX * width).toFixed(2);
      y.value = (atY * height).toFixed(2);
      pin ??= overlay.appendChild(newPin(photo.dataset.pin));
      pin.setAttribute("transform", `translate(${atX * wide} ${atY * high}) scale(${Math.max(wide, high) / 200})`);
    };

    photo.addEventListener("click", (event) => {
      event.preventDefault();
      const box = photo.getBoundingClientRect();
      if (event.detail) put((event.clientX - box.left) / box.width, (event.clientY - box.top) / box.height);
      else if (document.activeElement === photo) put(0.5, 0.5);
      else photo.form.requestSubmit(); // Enter in another field presses the form's first button, and that is the photo
    });
    photo.addEventListener("keydown", (event) => {
      const step = NUDGE[event.key];
      if (!step || !pin) return;
      event.preventDefault();
      put(x.value / width + step[0] / 50, y.value / height + step[1] / 50);
    });
  };

  const hiddenInput = (photo, axis) => {
    const input = document.createElement("input");
    input.type = "hidden";
    input.name = `${photo.name}.${axis}`;
    photo.after(input);
    return input;
  };

  const newPin = (number) => {
    const group = document.createElementNS(SVG, "g");
    group.setAttribute("class", "pin pin--new");
    group.innerHTML = '<circle r="10"/><text y="4.5"></text>';
    group.querySelector("text").textContent = number;
    return group;
  };

  const attachAll = () => {
    for (const photo of document.querySelectorAll("input[data-pin]:not([data-pin-ready])")) {
      photo.dataset.pinReady = "";
      attach(photo);
      photo.closest(".photo--pin").classList.add("is-live");
    }
  };

  document.addEventListener("htmx:after:swap", attachAll);
  attachAll();
})();
