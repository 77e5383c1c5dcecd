using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;
using TurfWatch.Core;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Faults;

/// <summary>Strangers at the pages of the running program (what is left of fault H4): mail goes on, memory stays.</summary>
public sealed class WebFaultTests
{
    [Fact]
    public async Task Huge_and_endless_forms()
    {
        await using var rig = FaultRig.Start("H4 bodies of 10 MB, 60 forms that never end");
        await rig.QueueAsync(30, MessageKind.Morning, MessageKind.Alert, MessageKind.Digest);
        var service = rig.Serve();
        await service.UntilReadySaysAsync(t => t.StartsWith("ready", StringComparison.Ordinal));
        var before = service.ResidentMiB;

        for (var i = 0; i < 20; i++)
        {
            using var huge = new ByteArrayContent(new byte[10 << 20]);
            huge.Headers.ContentType = new("application/x-www-form-urlencoded");
            var status = await StatusAsync(
                service.Http.PostAsync("join", huge, FaultRig.Cancellation)
            );
            // Refused, or cut while it was still being sent.
            Assert.Contains(
                status,
                new HttpStatusCode?[]
                {
                    HttpStatusCode.RequestEntityTooLarge,
                    HttpStatusCode.BadRequest,
                    null,
                }
            );
        }

        var slow = Enumerable
            .Range(0, 60)
            .Select(_ => TrickleAsync(service.Http.BaseAddress!))
            .ToList();
        await rig.SettleAsync(service);
        var (ready, _) = await service.ReadyAsync();
        Assert.Equal(200, ready);
        foreach (var seconds in await Task.WhenAll(slow))
        {
            Assert.InRange(seconds, 0, 40);
        }

        Assert.InRange(service.ResidentMiB - before, -1000, 150);
        await service.StopAsync();
        Assert.Equal(30, (await rig.JudgeAsync(triesAtMost: 1)).Sent);
    }

    private static async Task<HttpStatusCode?> StatusAsync(Task<HttpResponseMessage> asked)
    {
        try
        {
            using var answer = await asked;
            return answer.StatusCode;
        }
        catch (HttpRequestException)
        {
            return null;
        }
    }

    /// <summary>A byte a second of a form that says it has 60,000; the seconds until the server has had enough.</summary>
    private static async Task<double> TrickleAsync(Uri server)
    {
        var started = TimeProvider.System.GetTimestamp();
        using var socket = new TcpClient();
        await socket.ConnectAsync(IPAddress.Loopback, server.Port, FaultRig.Cancellation);
        var stream = socket.GetStream();
        await stream.WriteAsync(
            Encoding.ASCII.GetBytes(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"POST /join HTTP/1.1\r\nHost: {server.Authority}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 60000\r\n\r\n"
                )
            ),
            FaultRig.Cancellation
        );
        var end = stream.ReadAsync(new byte[1], FaultRig.Cancellation).AsTask();
        try
        {
            while (!end.IsCompleted)
            {
                await stream.WriteAsync("x"u8.ToArray(), FaultRig.Cancellation);
                await Task.WhenAny(end, Task.Delay(TimeSpan.FromSeconds(1), FaultRig.Cancellation));
            }

            await end;
        }
        catch (IOException)
        {
            // Cut off.
        }

        return TimeProvider.System.GetElapsedTime(started).TotalSeconds;
    }
}
