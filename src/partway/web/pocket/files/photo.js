// A photograph taken here: made small and written anew, so that it can wait. The place that a phone writes into its own is
// not in what is kept.
import { el } from "./dom.js";

const SIDE = 1600, SMALL = 160; // pixels, the longer side: as it waits, and as it is shown
const MOST = 1_000_000, QUALITIES = [0.82, 0.6, 0.35]; // bytes, and of JPEG the first that comes within them
const drawn = async (file, side) => {
  const image = await createImageBitmap(file);
  const scale = Math.min(1, side / Math.max(image.width, image.height));
  const canvas = el("canvas", { width: Math.max(1, Math.round(image.width * scale)), height: Math.max(1, Math.round(image.height * scale)) });
  const on = canvas.getContext("2d");
  on.fillStyle = "white"; // behind what shows through
  on.fillRect(0, 0, canvas.width, canvas.height);
  on.drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  return canvas;
};
export const photographOf = async (file) => {
  const canvas = await drawn(file, SIDE).catch(() => null);
  if (!canvas) throw new Error("This phone cannot open that file as a photograph. Nothing was kept.");
  for (const quality of QUALITIES) {
    const made = await new Promise((done) => canvas.toBlob(done, "image/jpeg", quality));
    if (made && made.size <= MOST) return made;
  }
  throw new Error("That photograph stays too large to wait on a phone: at most 1 MB. Nothing was kept.");
};
// As it stands among what waits. Drawn, not loaded: the page may load nothing that has no address.
export const shown = (photo, words) => {
  const place = el("span", { class: "photo", role: "img", "aria-label": words });
  drawn(photo, SMALL).then((canvas) => place.append(canvas), () => place.append("The photograph cannot be read any more."));
  return place;
};
