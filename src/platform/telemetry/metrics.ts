import { Injectable } from '@nestjs/common';
import { collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';

interface MeasuredRequest {
  readonly method: string;
  /** The route template, never the address itself: few values, no ids. */
  readonly route: string;
  readonly status: number;
  readonly seconds: number;
}

/** Numbers about the running process in the Prometheus text format. One registry for each app, so that tests do not share. */
@Injectable()
export class Metrics {
  readonly registry = new Registry();
  private readonly requests: Histogram;

  constructor() {
    collectDefaultMetrics({ register: this.registry });
    this.requests = new Histogram({
      name: 'http_request_duration_seconds',
      help: 'Time from the request line to the last byte of the answer.',
      labelNames: ['method', 'route', 'status'],
      buckets: [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10],
      registers: [this.registry],
    });
  }

  request(measured: MeasuredRequest): void {
    const { method, route, status } = measured;
    this.requests.observe({ method, route, status: String(status) }, measured.seconds);
  }

  /**
   * A number that is read when somebody asks for the metrics.
   * @param read values by label value; the empty label for a single number
   */
  gauge(name: string, help: string, label: string, read: () => Promise<Readonly<Record<string, number>>>): void {
    const gauge = new Gauge({
      name,
      help,
      labelNames: [label],
      registers: [],
      async collect() {
        this.reset();
        for (const [value, count] of Object.entries(await read())) this.set({ [label]: value }, count);
      },
    });
    this.registry.registerMetric(gauge);
  }

  text(): Promise<string> {
    return this.registry.metrics();
  }
}
