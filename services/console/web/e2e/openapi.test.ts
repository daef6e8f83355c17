// The pages are typed by the server's own description. If the server has
// changed, `make types` writes the types anew and the compiler says which pages
// must follow.

import openapiTS, { astToString } from "openapi-typescript";
import { expect, it } from "vitest";
import { startServer } from "./server";

const banner = "// Generated from the server's OpenAPI description by `make types`. Do not edit.\n\n";

it("openapi.d.ts is what the server describes", async () => {
  const server = await startServer("--sites", "20");
  try {
    const description = await (await fetch(`${server.url}/openapi.json`)).json();
    const types = banner + astToString(await openapiTS(description));
    await expect(types).toMatchFileSnapshot("../src/openapi.d.ts");
  } finally {
    await server.stop();
  }
});
