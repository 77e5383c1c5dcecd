using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;
using MimeKit;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Answers;
using TurfWatch.Host.Jobs;
using TurfWatch.Host.Join;
using TurfWatch.Mail;
using TurfWatch.Mail.Reading;
using TurfWatch.Store;
using TurfWatch.Testing;
using Xunit;

namespace TurfWatch.Host.Tests.People;

/// <summary>The desks on a real store with real letters; mail comes in as the reader would hand it over.</summary>
internal sealed class PeopleBench : IAsyncDisposable
{
    public static readonly Instant Start = Instant.FromUtc(2026, 11, 25, 15, 0);

    private readonly ScratchFolder _scratch = new();
    private int _message;

    private PeopleBench() { }

    public FakeTimeProvider Time { get; } = new(Start.ToDateTimeOffset());

    public TurfStore Store { get; private set; } = null!;

    public LinkTokens Tokens { get; private set; } = null!;

    public JoinDesk Joins { get; private set; } = null!;

    public AnswerDesk Answers { get; private set; } = null!;

    public static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public static async Task<PeopleBench> OpenAsync(
        JoinOptions? options = null,
        bool takesAnswers = true
    )
    {
        var bench = new PeopleBench();
        bench.Store = await TurfStore.OpenAsync(
            new StoreOptions { DataDirectory = bench._scratch.Path },
            bench.Time,
            Cancel
        );
        bench.Tokens = LinkTokens.Open(bench._scratch.Path);
        var composer = new MessageComposer(
            new SenderOptions { PublicBaseUrl = new Uri("https://lawn.example.org") },
            bench.Tokens,
            takesAnswers
                ? new InboxOptions { Host = "imap.example.org", Address = "lawn@example.org" }
                : null
        );
        bench.Joins = new(
            bench.Store,
            composer,
            bench.Tokens,
            options ?? new(),
            bench.Time,
            NullLogger<JoinDesk>.Instance
        );
        bench.Answers = new(
            bench.Store,
            composer,
            bench.Tokens,
            bench.Joins,
            new LawnToday(bench.Store, new NoSource(), bench.Time),
            bench.Time,
            NullLogger<AnswerDesk>.Instance
        );
        return bench;
    }

    public string DatabasePath => Path.Combine(_scratch.Path, "turfwatch.db");

    public Instant Now => Instant.FromDateTimeOffset(Time.GetUtcNow());

    /// <summary>A person's message with a token in the address it was sent to.</summary>
    public InboundMail Mail(string text, string? token = null, string from = "ann@example.com") =>
        new()
        {
            Kind = InboundKind.Person,
            MessageId = $"m{++_message}@example.com",
            ReceivedAt = Now,
            From = from,
            ReplyToken = token,
            Lines = [.. ReplyText.OwnLines(text)],
        };

    public async Task<SubscriberLawns> SubscribeAsync(string email = "ann@example.com")
    {
        var added = await Store.Subscribers.AddAsync(
            email,
            new Lawn
            {
                Place = new("85719", "Tucson", "AZ", 32.25, -110.95, "America/Phoenix"),
                Grass = GrassKind.Bermuda,
                AreaM2 = 278.70912,
            },
            Cancel
        );
        return added!;
    }

    /// <summary>Letters that wait, oldest first, as whoever gets them would read them.</summary>
    public async Task<List<(OutboxMessage Row, MimeMessage Message)>> LettersAsync()
    {
        var letters = new List<(OutboxMessage, MimeMessage)>();
        await foreach (var row in Store.Outbox.ListAsync(Cancel, OutboxState.Queued))
        {
            var whole = await Store.Outbox.FindAsync(row.SubscriberId, row.Kind, row.Key, Cancel);
            using var content = new MemoryStream(whole!.Content);
            letters.Add((row, await MimeMessage.LoadAsync(content, Cancel)));
        }

        return letters;
    }

    public async ValueTask DisposeAsync()
    {
        await Store.DisposeAsync();
        _scratch.Dispose();
    }

    private sealed class NoSource : ICellWeather
    {
        public Task<CellWeather> OfAsync(WeatherCell cell, Instant now, CancellationToken cancel) =>
            Task.FromResult(NoWeather.For(now, "no weather in this test"));
    }
}
