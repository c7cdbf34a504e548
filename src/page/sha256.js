/** SHA-256 of bytes, in hex. Pages of this machine and pages by HTTPS both have crypto.subtle. */
export async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
