using TurfWatch.Host.Commands;

return await TurfWatchCommand.RunAsync(args, Terminal.OfProcess());
