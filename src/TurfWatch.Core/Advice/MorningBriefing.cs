using NodaTime;

namespace TurfWatch.Core.Advice;

/// <summary>Works out the morning message.</summary>
public static class MorningBriefing
{
    /// <summary>Builds it.</summary>
    /// <param name="lawn">The lawn.</param>
    /// <param name="record">The owner's journal.</param>
    /// <param name="site">Site conditions of the lawn's cell and surface class.</param>
    /// <param name="weather">Warnings in force and how good the data are.</param>
    /// <param name="now">The moment of the message.</param>
    /// <param name="date">The local day it is about.</param>
    public static Briefing Build(
        Lawn lawn,
        LawnRecord record,
        SiteConditions site,
        CellWeather weather,
        Instant now,
        LocalDate date
    )
    {
        var morning = Morning.Of(lawn, record, site, weather, now, date);
        var decided = MowingDecision.Decide(morning);
        var advice = NextChance.Look(morning, decided) is { } chance
            ? decided.Advice with
            {
                Reasons = decided.Advice.Reasons.Add(chance),
            }
            : decided.Advice;
        return new()
        {
            Kind = MessageKind.Morning,
            Date = date,
            MadeAt = now,
            Lawn = lawn,
            Subject = Wording.Subject(morning, decided),
            Headline = Wording.Headline(morning, decided),
            Mowing = advice,
            Offers = Offers.Of(morning, advice.Verdict),
            Cautions = Cautions.For(morning, decided),
            Hours = DayTable.Of(morning, decided.Holds),
            Facts = MorningFacts.Of(morning),
            Data = weather.Notes,
        };
    }
}
