// What the rest of the server sees of a broker, be it the embedded one or another.

export type Broker = {
  /** Throws AppError "port-in-use" or "network". */
  start(): Promise<void>;
  stop(): Promise<void>;
  /** QoS 1. Resolves when the broker has it. */
  publish(topic: string, payload: string, options: { retain: boolean }): Promise<void>;
  /** Called whenever a broker of one's own choosing was reached again; the embedded one is never away. */
  onConnected(listener: () => void): void;
  /** Ends the connections of who is revoked, or has another secret since. */
  endRevoked(): void;
  /** Where clients connect, for people to read; the embedded one knows it after `start`. */
  url(): string;
};

export type BrokerCounts = { refusedPublishes: number };
