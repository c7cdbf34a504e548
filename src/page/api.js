// Requests to the server. An answer is {status, body}; status 0 means that nothing came back.

/** A connection that died unnoticed answers never: a car out of reach must not wait for it. */
export const patience = () => AbortSignal.timeout(30_000);

async function ask(path, options = {}) {
  try {
    const response = await fetch(`/api/${path}`, {
      credentials: "same-origin",
      signal: patience(),
      ...options,
    });
    const body = await response.json().catch(() => ({}));
    return { status: response.status, body };
  } catch {
    return { status: 0, body: {} };
  }
}

const withJson = (method, body) => ({
  method,
  headers: { "Content-Type": "application/json" },
  body: JSON.stringify(body),
});

export const get = (path) => ask(path);
export const put = (path, body) => ask(path, withJson("PUT", body));
export const patch = (path, body) => ask(path, withJson("PATCH", body));
export const post = (path, body) => ask(path, withJson("POST", body));
export const postPhoto = (path, blob) =>
  ask(path, { method: "POST", headers: { "Content-Type": blob.type }, body: blob });

/** What is wrong, in one sentence each. */
export function sentences(problems) {
  return (problems ?? []).map(({ what, right }) => (right ? `${what}; ${right}` : what));
}
