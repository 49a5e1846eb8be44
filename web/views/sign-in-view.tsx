// The door: asks for the passphrase when the server has one.
import { useState } from "preact/hooks";
import { callApi } from "../api.ts";
import { useSending } from "../asking.ts";
import { Form, TextField } from "../parts/fields.tsx";
import { Outcome } from "../parts/outcome.tsx";

export function SignInPage({ entered }: { entered: () => void }) {
  const [passphrase, setPassphrase] = useState("");
  const sending = useSending();
  const enter = () =>
    sending.send(async () => {
      await callApi("POST", "/session", { passphrase });
      entered();
    });
  return (
    <main class="sign-in">
      <h1>The yard is behind a passphrase</h1>
      <Form send={enter} label="Sign in">
        <TextField
          label="Passphrase"
          kind="password"
          value={passphrase}
          set={setPassphrase}
          required
        />
        <button type="submit" disabled={sending.busy || passphrase === ""}>
          Come in
        </button>
        <Outcome sending={sending} />
      </Form>
    </main>
  );
}
