// Whether this device keeps the page for when the server is away, and what it would need.
import { mayKeepPage } from "../offline.ts";

export function ThisDevice() {
  return (
    <section>
      <h2>On this device</h2>
      {mayKeepPage() ? (
        <p>
          This browser keeps the page: when the server is away it opens with the last known state
          and says how old that is. The browser's menu puts it among your apps (“Install”, or “Add
          to home screen”).
        </p>
      ) : (
        <>
          <p>
            Here the page comes over plain HTTP, where browsers keep nothing: it can't open while
            the server is away, nor be installed. It would need a certificate that this device
            trusts. On the server:
          </p>
          <p>
            <code>npm run certificate -- {location.hostname}</code>
          </p>
          <p class="soft">
            The README says how to start the server with it and what to do once on each phone.
          </p>
        </>
      )}
    </section>
  );
}
