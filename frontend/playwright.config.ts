import { rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { defineConfig } from '@playwright/test';

/**
 * Browser tests against the real program: it is started with its demo region, on a port and in a directory of its own.
 * LONGSPELL_BIN names the binary, LONGSPELL_CHROMIUM the browser; LONGSPELL_URL names a service that already runs.
 */
const port = process.env.LONGSPELL_PORT ?? '18473';
const running = process.env.LONGSPELL_URL;
const baseURL = running ?? `http://127.0.0.1:${port}`;

const data = join(tmpdir(), `longspell-browser-tests-${port}`);
// The configuration is read by the runner first and then by each worker; only the runner starts from an empty folder.
if (!running && process.env.TEST_WORKER_INDEX === undefined) rmSync(data, { recursive: true, force: true });

export default defineConfig({
  testDir: 'tests',
  outputDir: 'test-results',
  // The tests share one demo region; one after the other they do not get in each other's way.
  workers: 1,
  fullyParallel: false,
  retries: 0,
  forbidOnly: true,
  timeout: 60_000,
  expect: { timeout: 10_000 },
  reporter: [['list']],
  use: {
    baseURL,
    locale: 'en-GB',
    timezoneId: 'Pacific/Auckland',
    screenshot: 'only-on-failure',
    launchOptions: {
      executablePath: process.env.LONGSPELL_CHROMIUM ?? '/usr/bin/chromium',
      args: [
        '--no-sandbox',
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
      ],
    },
  },
  projects: [
    { name: 'phone', use: { viewport: { width: 360, height: 740 }, hasTouch: true } },
    { name: 'desk', testIgnore: 'layout.spec.ts', use: { viewport: { width: 1280, height: 800 } } },
  ],
  ...(running
    ? {}
    : {
        webServer: {
          command: `${process.env.LONGSPELL_BIN ?? '../longspell'} demo --addr 127.0.0.1:${port} --data ${data}`,
          url: `${baseURL}/readyz`,
          timeout: 120_000,
          reuseExistingServer: false,
          gracefulShutdown: { signal: 'SIGTERM', timeout: 10_000 },
        },
      }),
});
