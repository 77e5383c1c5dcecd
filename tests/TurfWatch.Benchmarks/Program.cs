using BenchmarkDotNet.Configs;
using BenchmarkDotNet.Jobs;
using BenchmarkDotNet.Running;
using BenchmarkDotNet.Toolchains.InProcess.NoEmit;
using TurfWatch.Benchmarks;
using TurfWatch.Benchmarks.Scale;

switch (args)
{
    case ["scale", .. var rest]:
        return await ScaleCommand.RunAsync(rest);
    case ["site"]:
        // In this process: the generated projects of the default toolchain know nothing of the pinned versions.
        BenchmarkRunner.Run<SiteHourBenchmark>(
            DefaultConfig.Instance.AddJob(
                Job.ShortRun.WithToolchain(new InProcessNoEmitToolchain(new()))
            )
        );
        return 0;
    case ["cells"]:
        ManyCells.Run();
        return 0;
    case ["morning"]:
        OneMorning.Run();
        return 0;
    case ["message"]:
        await OneMessage.RunAsync();
        return 0;
    case ["outlook"]:
        OneOutlook.Run();
        return 0;
    default:
        Console.Error.WriteLine(
            $"""
            '{string.Join(' ', args)}' is no benchmark. Give one of
              scale    the whole service: delivery, mornings, fetching, start and pages, workers; docs/speed.md
              site     an hour of the site model beside the plain baseline, with allocation
              cells    10,000 cells of 8 forecast days on two cores
              morning  one lawn: 92 days of spin-up, ensemble, 48 hours ahead, part by part
              message  one morning message composed, packed and signed, part by part
              outlook  the season outlook of one cell and class, with twenty past years
            for example: dotnet run -c Release --project tests/TurfWatch.Benchmarks -- site
            """
        );
        return 2;
}
