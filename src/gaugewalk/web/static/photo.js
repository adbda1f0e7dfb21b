// A photo is made smaller here already, so that it waits lightly and goes out on a bad line; drawing it
// anew also drops where and when it was taken.

const SIDE = 1600; // pixels of the longer side
const QUALITY = 0.8;

export async function shrunk(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, SIDE / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(picture.width * scale));
  canvas.height = Math.max(1, Math.round(picture.height * scale));
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", QUALITY));
  if (!blob) throw new Error("no picture");
  return blob.arrayBuffer();
}
