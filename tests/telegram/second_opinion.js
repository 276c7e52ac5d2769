// Starts the npm package telegram-test-api as it is, on the port given, until it is ended.
const TelegramServer = require('telegram-test-api');

const server = new TelegramServer({ port: Number(process.argv[2]), host: '127.0.0.1' });
server.start().then(() => console.log('ready'));
