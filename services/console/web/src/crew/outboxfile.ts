// The outbox as a file, for when nothing else brings it to the office: what is
// not sent, in order, with the pictures it names. The office takes the file in
// as it takes in what a phone sends; the ids are the same, so nothing that also
// arrives otherwise counts twice.

import { inOrder, type Item } from "../outbox";

/** Makes the file. `picture` gives the bytes kept under a SHA-256, if they are still here. */
export async function outboxFile(phone: string, crew: string, items: Item[], picture: (sha256: string) => Promise<Blob | undefined>): Promise<Blob> {
  const unsent = inOrder(items).filter((item) => item.state !== "sent");
  const entries = unsent.map(({ label, request }) => ({ id: request.command_id, at: request.happened, label, request }));
  const head = JSON.stringify({ valveround_outbox: 1, phone, crew, entries });
  const parts = [head.slice(0, -1), ',"pictures":['];
  let first = true;
  for (const sha256 of new Set(unsent.flatMap(({ request }) => request.photo?.sha256 ?? []))) {
    const bytes = await picture(sha256);
    if (!bytes) continue; // the server has it
    parts.push(first ? "" : ",", JSON.stringify({ sha256, type: bytes.type || "image/jpeg", base64: await base64(bytes) }));
    first = false;
  }
  parts.push("]}");
  return new Blob(parts, { type: "application/json" });
}

async function base64(blob: Blob): Promise<string> {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  const piece = 0x6000; // divisible by 3, and few enough arguments
  let text = "";
  for (let i = 0; i < bytes.length; i += piece) text += btoa(String.fromCharCode(...bytes.subarray(i, i + piece)));
  return text;
}

/** Hands a file to the phone: shared where the phone can (an installed page on some cannot save), else saved. */
export async function handOver(file: Blob, name: string): Promise<void> {
  const shared = new File([file], name, { type: file.type });
  const standalone = matchMedia("(display-mode: standalone)").matches;
  if (standalone && navigator.canShare?.({ files: [shared] })) {
    await navigator.share({ files: [shared] }).catch(() => {}); // broken off by the person
    return;
  }
  const link = document.createElement("a");
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
