// Photos on the phone: made small, kept under the SHA-256 of their bytes until
// the server has them, and sent before the event that names them.

import { signal } from "@preact/signals";
import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import { api } from "../api";
import type { FieldRequest } from "../types";

interface Schema extends DBSchema { photos: { key: string; value: Blob } }

let opened: Promise<IDBPDatabase<Schema>> | null = null;
const store = () => (opened ??= openDB<Schema>("valveround photos", 1, { upgrade: (db) => { db.createObjectStore("photos"); } }));

/** Pictures that the phone had no room for: gone when the page is closed. */
const spare = new Map<string, Blob>();

/** How many pictures lie in memory only. */
export const sparePhotos = signal(0);

/** Addresses of kept photos, for showing them, by SHA-256. */
export const shownPhotos = signal<Record<string, string>>({});

export const canHash = (): boolean => typeof crypto !== "undefined" && crypto.subtle !== undefined;

export async function sha256(blob: Blob): Promise<string> {
  const sum = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
  return Array.from(new Uint8Array(sum), (b) => b.toString(16).padStart(2, "0")).join("");
}

/** The longest side of a kept photo in pixels: a serial plate stays readable. */
const longest = 1600;

/** Makes a picture small and drops what the camera wrote into it, such as where it was taken. */
export async function small(file: Blob): Promise<Blob> {
  const image = await createImageBitmap(file, { imageOrientation: "from-image" });
  const scale = Math.min(1, longest / Math.max(image.width, image.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(image.width * scale));
  canvas.height = Math.max(1, Math.round(image.height * scale));
  canvas.getContext("2d")!.drawImage(image, 0, 0, canvas.width, canvas.height);
  image.close();
  const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, "image/jpeg", 0.8));
  return blob ?? file;
}

/** Keeps a picture and says its SHA-256. Where there is no room it stays in memory, which `sparePhotos` tells. */
export async function keepPhoto(picture: Blob): Promise<string> {
  const hash = await sha256(picture);
  try {
    await (await store()).put("photos", picture, hash);
  } catch {
    spare.set(hash, picture);
    sparePhotos.value = spare.size;
  }
  await showPhoto(hash);
  return hash;
}

/** Tries again to store what lies in memory. */
export async function settlePhotos(): Promise<void> {
  for (const [hash, picture] of spare) {
    try {
      await (await store()).put("photos", picture, hash);
      spare.delete(hash);
    } catch {
      break;
    }
  }
  sparePhotos.value = spare.size;
}

/** The bytes kept under a SHA-256, if they are still here. */
export async function keptPhoto(hash: string): Promise<Blob | undefined> {
  return spare.get(hash) ?? (await (await store()).get("photos", hash));
}

/** Makes a kept photo showable, if it is still here. */
export async function showPhoto(hash: string): Promise<void> {
  if (shownPhotos.value[hash]) return;
  const picture = await keptPhoto(hash).catch(() => undefined); // then the server's copy is asked for
  if (picture) shownPhotos.value = { ...shownPhotos.value, [hash]: URL.createObjectURL(picture) };
}

/** Sends the picture that a request names; a request that names none needs nothing. Throws as any call does. */
export async function sendPicture(request: FieldRequest): Promise<void> {
  if (request.kind !== "photo" || !request.photo) return;
  const picture = await keptPhoto(request.photo.sha256);
  if (picture) await api.attach(picture, AbortSignal.timeout(180_000)); // not here any more: it was sent before, and the server says if not
}

/** Forgets the picture of a request that the server has. */
export async function forgetPicture(request: FieldRequest): Promise<void> {
  if (request.kind !== "photo" || !request.photo) return;
  spare.delete(request.photo.sha256);
  sparePhotos.value = spare.size;
  await (await store()).delete("photos", request.photo.sha256);
}
