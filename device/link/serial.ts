// A way to a board on a USB port; opening it resets boards that couple DTR to reset, as an Uno does.
import { createEnding, type Dial } from "./dial.ts";

/** What StandardFirmata speaks. */
const baudRate = 57_600;

/** The native part of serialport is loaded with the first port, not before. */
export function createSerialDial(path: string): Dial {
  return (events) => {
    const ending = createEnding(events);
    let closing = false;
    let close = (): void => {
      closing = true;
      ending.end("closed");
    };
    let write = (_bytes: Uint8Array): void => undefined;

    async function open(): Promise<void> {
      const { SerialPort } = await import("serialport");
      if (closing) return;
      const port = new SerialPort({ path, baudRate, autoOpen: false, hupcl: true });
      port.on("data", (bytes: Uint8Array) => events.data(bytes));
      port.on("error", (error: Error) => ending.note(error));
      port.on("close", () => ending.end("the port was closed or unplugged"));
      write = (bytes) => void port.write(Buffer.from(bytes));
      close = () => {
        closing = true;
        if (port.isOpen) port.close();
        else if (!port.opening) ending.end("closed");
      };
      port.open((error) => {
        if (error) return ending.end(error.message);
        if (closing) return port.close();
        events.opened();
      });
    }
    open().catch((error: unknown) => ending.end(String(error)));
    return { write: (bytes) => write(bytes), close: () => close() };
  };
}
