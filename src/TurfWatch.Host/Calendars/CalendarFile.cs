using System.Security.Cryptography;
using System.Text;
using Ical.Net;
using Ical.Net.CalendarComponents;
using Ical.Net.DataTypes;
using Ical.Net.Serialization;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Calendars;

/// <summary>A calendar as RFC 5545 writes it. It holds the lawn's name and place and its dates; of its owner it holds nothing.</summary>
internal static class CalendarFile
{
    private const string Product = "-//TurfWatch//Lawn calendar//EN";

    // How often a program that follows the calendar should ask (RFC 7986, 5.7): the dates move once a day.
    private const string Refresh = "PT6H";

    private const int Widest = 75;

    // What counts the revisions of an entry (RFC 5545, 3.8.7.4): minutes since then, which only ever grow.
    private static readonly Instant Counted = Instant.FromUtc(2026, 1, 1, 0, 0);

    /// <param name="lawn">The lawn.</param>
    /// <param name="entries">Its entries, each with when it last changed.</param>
    /// <param name="domain">What the names of entries end with.</param>
    public static string Write(
        Lawn lawn,
        IEnumerable<(CalendarEntry Entry, Instant Changed)> entries,
        string domain
    )
    {
        var calendar = new Calendar { ProductId = Product, Scale = "GREGORIAN" };
        calendar.AddProperty("NAME", lawn.Name);
        calendar.AddProperty("X-WR-CALNAME", lawn.Name);
        calendar.AddProperty(Duration("REFRESH-INTERVAL"));
        calendar.AddProperty("X-PUBLISHED-TTL", Refresh);
        foreach (var (entry, changed) in entries)
        {
            calendar.Events.Add(
                new CalendarEvent
                {
                    Uid = $"{Name(lawn, entry)}@{domain}",
                    DtStamp = Utc(changed),
                    LastModified = Utc(changed),
                    Sequence = (int)Math.Max(0, (changed - Counted).TotalMinutes),
                    Start = Day(entry.First),
                    End = Day(entry.Last.PlusDays(1)), // the day after (3.6.1)
                    Summary = entry.Title,
                    Description = entry.Text,
                    Transparency = TransparencyType.Transparent,
                }
            );
        }

        return Folded(new CalendarSerializer().SerializeToString(calendar) ?? "");
    }

    private static CalendarProperty Duration(string name)
    {
        var property = new CalendarProperty(name, Refresh);
        property.AddParameter("VALUE", "DURATION");
        return property;
    }

    // Says nothing of whose lawn it is, and stays when its dates move.
    private static string Name(Lawn lawn, CalendarEntry entry) =>
        Convert.ToHexStringLower(
            SHA256.HashData(Encoding.UTF8.GetBytes($"{lawn.Id}\n{entry.Key}")).AsSpan(0, 16)
        );

    private static CalDateTime Utc(Instant at) =>
        new(at.InUtc().ToDateTimeUnspecified(), CalDateTime.UtcTzId);

    private static CalDateTime Day(LocalDate date) => new(date.Year, date.Month, date.Day);

    /// <summary>Lines of at most 75 octets (3.1), broken between letters and not within one.</summary>
    private static string Folded(string text)
    {
        var folded = new StringBuilder();
        foreach (
            var line in text.ReplaceLineEndings("\n")
                .Replace("\n ", "", StringComparison.Ordinal)
                .Split('\n', StringSplitOptions.RemoveEmptyEntries)
        )
        {
            var room = Widest;
            foreach (var letter in line.EnumerateRunes())
            {
                if (letter.Utf8SequenceLength > room)
                {
                    folded.Append("\r\n ");
                    room = Widest - 1;
                }

                folded.Append(letter);
                room -= letter.Utf8SequenceLength;
            }

            folded.Append("\r\n");
        }

        return folded.ToString();
    }
}
