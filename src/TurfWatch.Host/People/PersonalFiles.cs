using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using NodaTime;
using TurfWatch.Core;
using TurfWatch.Host.Commands;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.People;

/// <summary>What is held of a person, as files: all of it as JSON, and the journals as a table for a spreadsheet.</summary>
internal sealed class PersonalFiles(Dossier held, Instant now)
{
    private static readonly JsonSerializerOptions Readable = new()
    {
        WriteIndented = true,
        // A file on its own, in no page: names may keep their letters.
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    public byte[] Json() =>
        JsonSerializer.SerializeToUtf8Bytes(
            new
            {
                AsOf = now.ToString(),
                held.Subscriber.Email,
                Status = held.Subscriber.Status.ToString(),
                held.StatusReason,
                StatusSince = held.StatusAt.ToString(),
                OnRecordSince = held.CreatedAt.ToString(),
                PausedUntil = Iso(held.PausedUntil),
                NotWrittenToBecause = held.Suppressed,
                Lawns = held.Lawns.Select(OfLawn),
                Deeds = held.Deeds.Select(d => new
                {
                    DoneAt = d.DoneAt.ToString(),
                    UndoneAt = d.UndoneAt?.ToString(),
                    Undo = JsonSerializer.Deserialize<JsonElement>(d.Undo),
                }),
                Messages = held.Messages.Select(OfMessage),
                CameBack = held.Bounces.Select(b => new { Day = Iso(b.Day), b.Weight }),
                RequestsToJoin = held.Requests.Select(r => new
                {
                    At = r.At.ToString(),
                    r.Network,
                    Answered = r.Sent,
                }),
            },
            Readable
        );

    /// <summary>The journals of all lawns; RFC 4180, UTF-8 with the mark that spreadsheets look for.</summary>
    public byte[] JournalCsv()
    {
        var text = new StringBuilder(
            CsvText.Line(
                "lawn",
                "zip",
                "date",
                "time",
                "kind",
                "amount",
                "unit",
                "grass",
                "phosphate_g_m2",
                "potash_g_m2",
                "height_before_cm"
            )
        );
        foreach (var (lawn, entry) in held.Lawns.SelectMany(l => l.Journal.Select(e => (l, e))))
        {
            text.Append(
                CsvText.Line(
                    lawn.Lawn.Name,
                    lawn.Lawn.Place.Zip,
                    Iso(entry.Date),
                    Iso(entry.Time),
                    Words.Kebab(entry.Kind.ToString()),
                    entry.Amount,
                    entry.Amount is null ? null : Unit(entry.Kind),
                    entry.Grass is { } grass ? Words.Kebab(grass.ToString()) : null,
                    entry.PhosphateGM2,
                    entry.PotashGM2,
                    entry.HeightBeforeCm
                )
            );
        }

        return [.. Encoding.UTF8.Preamble, .. Encoding.UTF8.GetBytes(text.ToString())];
    }

    private static object OfLawn(HeldLawn held) =>
        new
        {
            held.Lawn.Place.Zip,
            held.Lawn.Place.ZoneId,
            Place = $"{held.Lawn.Place.Name}, {held.Lawn.Place.State}",
            OnRecordSince = held.CreatedAt.ToString(),
            SeasonPlannedFor = Iso(held.PlannedFor),
            CalendarAddressesMade = held.CalendarAddresses,
            Settings = LawnWordsOf.Lawn(held.Lawn),
            Journal = held.Journal.Select(OfEntry),
        };

    private static object OfEntry(JournalEntry entry) =>
        new
        {
            Kind = entry.Kind.ToString(),
            Date = Iso(entry.Date),
            Time = Iso(entry.Time),
            entry.Amount,
            Unit = entry.Amount is null ? null : Unit(entry.Kind),
            entry.HeightBeforeCm,
            entry.PhosphateGM2,
            entry.PotashGM2,
            Grass = entry.Grass?.ToString(),
        };

    private static object OfMessage(OutboxMessage row)
    {
        var (subject, text) = row.Content.Length > 0 ? KeptText.Of(row.Content) : (null, null);
        return new
        {
            Kind = row.Kind.ToString(),
            row.Key,
            row.MessageId,
            NotBefore = row.NotBefore.ToString(),
            NotAfter = row.NotAfter.ToString(),
            State = row.State.ToString(),
            row.Attempts,
            To = row.Recipient,
            LastReply = row.LastReply,
            Subject = subject,
            Text = text,
        };
    }

    private static string? Unit(JournalKind kind) =>
        kind switch
        {
            JournalKind.Mowed => "cm",
            JournalKind.Fed or JournalKind.Seeded => "g/m2",
            JournalKind.Watered => "mm",
            JournalKind.SoilMeasured => "degC",
            _ => null,
        };

    private static string? Iso(LocalDate? date) => date?.ToString("uuuu-MM-dd", null);

    private static string? Iso(LocalTime? time) => time?.ToString("HH:mm", null);
}
